import type { RefObject } from "preact"
import type { HandoverStep } from "../../compiler/run/index.ts"
import { CodeText } from "../ui/code-text.tsx"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"

interface Props {
  readonly job: OpenJob
  readonly step: HandoverStep
  readonly heading: RefObject<HTMLHeadingElement | null>
}

/** Nothing here is worth its cost any more: hand the machine over, or find the finding that can't be right. */
export function HandoverCard({ job, step, heading }: Props) {
  const fitted = job.session.value.standing.fitted
  return (
    <section class="card step handover" aria-labelledby="step-title">
      <p class="step-kind">
        <b>Hand over</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {step.fits ? "Hand the machine over with what is known" : "Nothing listed fits these findings"}
      </h2>
      {step.fits ? (
        <p>
          Nothing more is worth its cost here. Pass on the suspects and findings of this page with the
          machine.
        </p>
      ) : (
        <AtOdds job={job} step={step} />
      )}
      {fitted.length > 0 && (
        <p class="warned">Take out the shop's parts first: {fitted.map(({ label }) => label).join(", ")}.</p>
      )}
      <p class="row">
        <button
          type="button"
          class={step.fits ? "main big" : "big"}
          onClick={() => job.change((session) => session.find({ handOver: true }, "done"))}
        >
          Handed over
        </button>
      </p>
    </section>
  )
}

/** The findings of which any one could be the mistake. */
function AtOdds({ job, step }: { job: OpenJob; step: HandoverStep }) {
  const { log } = job.session.value
  if (step.atOdds.length === 0)
    return (
      <p>
        No single mistake explains it. Check the findings with somebody, or hand the machine over as not
        listed.
      </p>
    )
  return (
    <>
      <p>
        {step.atOdds.length === 1
          ? "Check this finding first. Without it, the rest would fit."
          : "Check these findings first. Without any one of them, the rest would fit."}
      </p>
      <ul class="odds">
        {step.atOdds.map(({ step: at, faults }) => {
          const { what, found } = entryText(job.graph, log[at])
          return (
            <li key={at}>
              <p>
                Step {at + 1}: {what} <b>{found}</b>
              </p>
              <ul class="small quiet">
                {faults.slice(0, 5).map(({ fault, info, out }) => (
                  <li key={fault}>
                    {info?.label ?? "something not listed"}: <CodeText text={out?.text ?? ""} />
                  </li>
                ))}
              </ul>
              <button type="button" onClick={() => job.change((session) => session.undo(at))}>
                Take back step {at + 1}
              </button>
            </li>
          )
        })}
      </ul>
    </>
  )
}
