import type { RefObject } from "preact"
import type { EndStep } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { OpenJob } from "./open-job.ts"
import { RecordForm } from "./record-form.tsx"

interface Props {
  readonly job: OpenJob
  readonly step: EndStep
  readonly heading: RefObject<HTMLHeadingElement | null>
}

/** The job is over; the machine may come back, and then nothing that was found is lost. */
export function EndCard({ job, step, heading }: Props) {
  const { words } = job
  const session = job.session.value
  const [likeliest] = session.candidates
  const { recorded } = job.saved.value
  return (
    <section class={step.closed ? "card step closed" : "card step handover"} aria-labelledby="step-title">
      <p class="step-kind">
        <b>{words.say(step.closed ? m.closed : m.handedOver)}</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {words.say(step.closed ? m.passedProof : m.wasHandedOver)}
      </h2>
      <RecordForm
        job={job}
        likeliest={step.closed && likeliest && likeliest.present > 0.5 ? likeliest.info?.name : undefined}
      />
      <p class="row">
        <button type="button" class={recorded ? "main" : ""} onClick={() => job.host.begin()}>
          {words.say(recorded ? m.nextJob : m.newJob)}
        </button>
        {/* Its record stays as it is: coming back is another job. */}
        <button
          type="button"
          onClick={() => (recorded ? job.host.comeBack() : job.change((now) => now.cameBack()))}
        >
          {words.say(m.cameBackGoOn)}
        </button>
      </p>
    </section>
  )
}
