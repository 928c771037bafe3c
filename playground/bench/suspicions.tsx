import type { Suspicion } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import type { Message } from "../../compiler/wording/message.ts"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"

const texts: Record<Suspicion["of"], typeof m.twoFaults> = {
  "two faults": m.twoFaults,
  "not listed": m.unlisted,
}
const advice: Record<Suspicion["of"], Message> = {
  "two faults": m.twoFaultsAdvice,
  "not listed": m.unlistedAdvice,
}

/** What the bench should know before it goes on, with the findings that speak for it. */
export function Suspicions({ job }: { job: OpenJob }) {
  const { words } = job
  const { suspicions, log } = job.session.value
  return (
    <>
      {suspicions.map(({ of, chance, steps }) => (
        <section key={of} class="card warned suspicion" role="status">
          <p>
            <b>{words.say(texts[of], { chance: words.percent(chance) })}</b> {words.say(advice[of])}
          </p>
          {steps.length > 0 && (
            <>
              <p class="small">{words.say(common.whatSpeaks)}</p>
              <ul class="dots small">
                {steps.slice(0, 4).map((step) => {
                  const { what, found } = entryText(job.graph, log[step], words)
                  return (
                    <li key={step}>
                      {words.say(m.stepLine, { n: step + 1, what })} <b>{found}</b>
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
