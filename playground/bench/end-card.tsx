import type { RefObject } from "preact"
import type { EndStep } from "../../compiler/run/index.ts"
import type { OpenJob } from "./open-job.ts"
import { RecordForm } from "./record-form.tsx"

interface Props {
  readonly job: OpenJob
  readonly step: EndStep
  readonly heading: RefObject<HTMLHeadingElement | null>
}

/** The job is over; the machine may come back, and then nothing that was found is lost. */
export function EndCard({ job, step, heading }: Props) {
  const session = job.session.value
  const [likeliest] = session.candidates
  const { recorded } = job.saved.value
  return (
    <section class={step.closed ? "card step closed" : "card step handover"} aria-labelledby="step-title">
      <p class="step-kind">
        <b>{step.closed ? "Closed" : "Handed over"}</b>
      </p>
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {step.closed ? "The machine passed its proof run" : "The machine was handed over"}
      </h2>
      <RecordForm
        job={job}
        likeliest={step.closed && likeliest && likeliest.present > 0.5 ? likeliest.info?.name : undefined}
      />
      <p class="row">
        <button type="button" class={recorded ? "main" : ""} onClick={() => job.host.begin()}>
          {recorded ? "Next job" : "New job"}
        </button>
        {/* Its record stays as it is: coming back is another job. */}
        <button
          type="button"
          onClick={() => (recorded ? job.host.comeBack() : job.change((now) => now.cameBack()))}
        >
          It came back: go on with what was found
        </button>
      </p>
    </section>
  )
}
