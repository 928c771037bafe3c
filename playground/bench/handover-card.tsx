import type { RefObject } from "preact"
import type { HandoverStep } from "../../compiler/run/index.ts"
import { reasonText } from "../../compiler/ship/runner-text.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
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
  const { words } = job
  const fitted = job.session.value.standing.fitted
  return (
    <section class="card step handover" aria-labelledby="step-title">
      <p class="step-kind">
        <b>{words.say(common.handOver)}</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {words.say(step.fits ? m.handOverKnown : m.nothingFitsHeading)}
      </h2>
      {step.fits ? <p>{words.say(m.nothingWorth)}</p> : <AtOdds job={job} step={step} />}
      {fitted.length > 0 && (
        <p class="warned">
          {words.say(m.takeOutFirst, { parts: fitted.map(({ label }) => label).join(", ") })}
        </p>
      )}
      <p class="row">
        <button
          type="button"
          class={step.fits ? "main big" : "big"}
          onClick={() => job.change((session) => session.find({ handOver: true }, "done"))}
        >
          {words.say(m.handedOver)}
        </button>
      </p>
    </section>
  )
}

/** The findings of which any one could be the mistake. */
function AtOdds({ job, step }: { job: OpenJob; step: HandoverStep }) {
  const { words } = job
  const { log } = job.session.value
  if (step.atOdds.length === 0) return <p>{words.say(m.noSingleMistake)}</p>
  return (
    <>
      <p>{words.say(m.checkFirst, { n: step.atOdds.length })}</p>
      <ul class="odds">
        {step.atOdds.map(({ step: at, faults }) => {
          const { what, found } = entryText(job.graph, log[at], words)
          return (
            <li key={at}>
              <p>
                {words.say(m.stepLine, { n: at + 1, what })} <b>{found}</b>
              </p>
              <ul class="small quiet">
                {faults.slice(0, 5).map(({ fault, info, out }) => (
                  <li key={fault}>
                    {info?.label ?? words.say(common.notListed)}:{" "}
                    <CodeText text={out ? reasonText(job.graph, out, words) : ""} />
                  </li>
                ))}
              </ul>
              <button type="button" onClick={() => job.change((session) => session.undo(at))}>
                {words.say(m.takeBackStep, { n: at + 1 })}
              </button>
            </li>
          )
        })}
      </ul>
    </>
  )
}
