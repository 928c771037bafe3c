import UndoIcon from "lucide/dist/esm/icons/undo-2.mjs"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import { Icon } from "../ui/icon.tsx"
import { AnswerProblem } from "./answer-problem.tsx"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"
import { reasonOf } from "./reasons.ts"

/** The job so far; each step can be taken back, the rest stays. */
export function Log({ job }: { job: OpenJob }) {
  const { words } = job
  const { log } = job.session.value
  return (
    <section class="card log-card" aria-labelledby="log-title">
      <h2 id="log-title">{words.say(common.doneAndFound)}</h2>
      <AnswerProblem job={job} from="log" />
      {log.length === 0 ? (
        <p class="quiet">{words.say(common.nothingYet)}</p>
      ) : (
        <ol class="log">
          {log.map((entry, step) => {
            const { what, found } = entryText(job.graph, entry, words)
            const reason = reasonOf(job, entry)
            return (
              <li key={step}>
                <span class="log-number">{step + 1}</span>
                <span class="grow">
                  {what} <b>{found}</b>
                  {reason && <span class="quiet">: {reason}</span>}
                </span>
                <button
                  type="button"
                  class="take-back"
                  title={words.say(m.takeBack)}
                  aria-label={words.say(m.takeBackStepWhat, { n: step + 1, what })}
                  onClick={() => job.change((session) => session.undo(step), "log")}
                >
                  <Icon of={UndoIcon} />
                  <span class="word">{words.say(m.takeBack)}</span>
                </button>
              </li>
            )
          })}
        </ol>
      )}
    </section>
  )
}
