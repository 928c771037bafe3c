import { useSignal } from "@preact/signals"
import type { RefObject } from "preact"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { HandoverStep, TestStep, VerdictStep } from "../../compiler/run/index.ts"
import { cellsText } from "../../compiler/wording/ranges.ts"
import { CodeText } from "../code-text.tsx"
import { money, percent } from "../figures.ts"
import { remedyText } from "../graph/labels.ts"
import { VerdictDoubt } from "./doubt.tsx"
import type { Desk } from "./job-session.ts"
import { entryText } from "./labels.ts"

/** The verdict: what to mend, how sure that is, the proof run, and the record. */
export function VerdictCard({
  desk,
  step,
  heading,
  onPutBack,
}: {
  desk: Desk
  step: VerdictStep
  heading: RefObject<HTMLHeadingElement | null>
  onPutBack: (step: TestStep) => void
}) {
  const { graph } = desk
  return (
    <section class="card step verdict" aria-labelledby="step-title">
      <p class="step-kind">
        <b>Verdict</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {remedyText(graph, step.remedy)}
      </h2>
      <p>
        {step.remedy.kind === "done" ? "It is mended" : "This mends it"} with a chance of{" "}
        <b>{percent(step.chance)}</b>.
      </p>
      <ul class="dots">
        {step.faults.slice(0, 6).map((each) => {
          const fault = graph.faults[each.fault]!
          return (
            <li key={each.fault}>
              {fault.label} ({percent(each.chance)})
              {fault.remedy && <span class="remedy"> {fault.remedy}</span>}
              {fault.fixCosts !== undefined && <> {money(fault.fixCosts, graph.money)}.</>}
              {fault.fixTakes !== undefined && <> {fault.fixTakes} min.</>}
            </li>
          )
        })}
      </ul>
      <VerdictDoubt desk={desk} step={step} onPutBack={onPutBack} />
      <ProofRun desk={desk} step={step} />
      <Closing desk={desk} likeliest={step.faults[0]?.name} />
    </section>
  )
}

function ProofRun({ desk, step }: { desk: Desk; step: VerdictStep }) {
  const { graph } = desk
  if (step.proofs.length === 0) return null
  return (
    <section class="proofs" aria-labelledby="proofs-title">
      <h3 id="proofs-title">Before it goes back</h3>
      <ul>
        {step.proofs.map((proof) => {
          const index = graph.proofs.indexOf(proof)
          const held = desk.job.value.proofs[index] ?? 0
          const expects = proof.expects
            ? expectedText(graph.readings[proof.expects.reading]!, proof.expects.cells)
            : undefined
          return (
            <li key={index} class={held >= proof.times ? "proof held" : "proof"}>
              <span class="grow">
                {proof.text}
                {expects && <span class="small quiet"> Expected: {expects}</span>}
                <span class="small quiet"> {proof.minutes} min each</span>
              </span>
              <output aria-label={`Runs that held: ${proof.text}`}>
                {held >= proof.times ? "✓ " : ""}
                {held} of {proof.times}
              </output>
              <button
                type="button"
                disabled={held >= proof.times}
                aria-label={`Held once more: ${proof.text}`}
                onClick={() => desk.proved(index, held + 1)}
              >
                Held
              </button>
              <button
                type="button"
                disabled={held === 0}
                aria-label={`Failed, count again: ${proof.text}`}
                onClick={() => desk.proved(index, 0)}
              >
                Failed
              </button>
            </li>
          )
        })}
      </ul>
    </section>
  )
}

const expectedText = (reading: GraphReading, cells: readonly number[]) =>
  `${reading.question} ${cellsText(reading, cells)}`

function Closing({ desk, likeliest }: { desk: Desk; likeliest: string | undefined }) {
  const { graph } = desk
  const fault = useSignal(likeliest ?? "")
  const id = useSignal(desk.job.value.id)
  const saved = useSignal(false)
  const step = desk.session.value.next
  const proofs = step.do === "verdict" ? step.proofs : []
  const proved =
    proofs.length > 0 &&
    proofs.every((proof) => (desk.job.value.proofs[graph.proofs.indexOf(proof)] ?? 0) >= proof.times)
  const save = (event: Event) => {
    event.preventDefault()
    const record = desk.session.value.record({
      id: id.value.trim() || desk.job.value.id,
      date: desk.host.today(),
      ...(fault.value === "" ? {} : { fault: fault.value }),
      ...(proved ? { confirmed: "proof" } : {}),
      came_back: false,
    })
    desk.host.record.save(record)
    saved.value = true
  }
  return (
    <form class="closing" onSubmit={save}>
      <h3>Record of the job</h3>
      {step.do === "verdict" && proofs.length > 0 && !proved && (
        <p class="small quiet">The proof run is not complete; the record will say so by leaving it out.</p>
      )}
      <div class="row">
        <label class="field">
          It turned out to be
          <select
            value={fault.value}
            onChange={(event) => {
              fault.value = event.currentTarget.value
            }}
          >
            <option value="">not confirmed</option>
            {graph.faults.map((each) => (
              <option key={each.name} value={each.name}>
                {each.label}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          Job number
          <input
            type="text"
            value={id.value}
            onInput={(event) => {
              id.value = event.currentTarget.value
            }}
          />
        </label>
        <button type="submit" class="main">
          {desk.host.record.label}
        </button>
      </div>
      <p role="status" class="small">
        {saved.value ? "✓ Recorded." : ""}
      </p>
    </form>
  )
}

/** Nothing here decides any more: hand over with what is known, or find the finding that cannot be right. */
export function HandoverCard({
  desk,
  step,
  heading,
}: {
  desk: Desk
  step: HandoverStep
  heading: RefObject<HTMLHeadingElement | null>
}) {
  const session = desk.session.value
  return (
    <section class="card step handover" aria-labelledby="step-title">
      <p class="step-kind">
        <b>Hand over</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {step.atOdds.length > 0
          ? "No listed fault fits these findings"
          : "Hand the machine over with what is known"}
      </h2>
      {step.atOdds.length > 0 ? (
        <>
          <p>Look again at these findings first; without one of them the rest would fit.</p>
          <ul class="odds">
            {step.atOdds.map(({ step: at, faults }) => {
              const { what, found } = entryText(desk.graph, session.log[at]!)
              return (
                <li key={at}>
                  <p>
                    Step {at + 1}: {what} <b>{found}</b>
                  </p>
                  <ul class="small quiet">
                    {faults.slice(0, 5).map(({ fault, label, out }) => (
                      <li key={fault}>
                        {label}: <CodeText text={out?.text ?? ""} />
                      </li>
                    ))}
                  </ul>
                  <button type="button" onClick={() => desk.act((now) => now.undo(at))}>
                    Take back step {at + 1}
                  </button>
                </li>
              )
            })}
          </ul>
        </>
      ) : (
        <p>
          No further test is worth its cost here. The suspects and findings on this page go along with the
          machine.
        </p>
      )}
      <Closing desk={desk} likeliest={undefined} />
    </section>
  )
}
