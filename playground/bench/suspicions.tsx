import type { Suspicion } from "../../compiler/run/index.ts"
import { percent } from "../ui/figures.ts"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"

const text: Record<Suspicion["of"], string> = {
  "two faults": "Two faults at once have become likely",
  "not listed": "A fault that nobody listed has become likely",
}
const advice: Record<Suspicion["of"], string> = {
  "two faults": "One repair may not be enough. Look for the complaint after each.",
  "not listed": "Don't trust the suspects on the board too far, and don't buy a part on them alone.",
}

/** What the bench should know before it goes on, with the findings that speak for it. */
export function Suspicions({ job }: { job: OpenJob }) {
  const { suspicions, log } = job.session.value
  return (
    <>
      {suspicions.map(({ of, chance, steps }) => (
        <section key={of} class="card warned suspicion" role="status">
          <p>
            <b>
              {text[of]}: {percent(chance)}.
            </b>{" "}
            {advice[of]}
          </p>
          {steps.length > 0 && (
            <>
              <p class="small">What speaks for it:</p>
              <ul class="dots small">
                {steps.slice(0, 4).map((step) => {
                  const { what, found } = entryText(job.graph, log[step])
                  return (
                    <li key={step}>
                      Step {step + 1}: {what} <b>{found}</b>
                    </li>
                  )
                })}
              </ul>
            </>
          )}
        </section>
      ))}
    </>
  )
}
