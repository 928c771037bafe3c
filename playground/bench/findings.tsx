import { Complaint } from "./answer-problem.tsx"
import type { Desk } from "./job-session.ts"
import { entryText } from "./labels.ts"

/** The job so far; each finding can be taken back, the rest stays. */
export function Findings({ desk }: { desk: Desk }) {
  const { log } = desk.session.value
  return (
    <section class="card" aria-labelledby="findings-title">
      <div class="row">
        <h2 id="findings-title" class="grow">
          Findings
        </h2>
        <span class="small quiet">{desk.job.value.id}</span>
        <button type="button" disabled={log.length === 0} onClick={() => desk.restart()}>
          New job
        </button>
      </div>
      <Complaint desk={desk} at="findings" />
      {log.length === 0 ? (
        <p class="quiet">None yet.</p>
      ) : (
        <ol class="log">
          {log.map((entry, step) => {
            const { what, found } = entryText(desk.graph, entry)
            return (
              <li key={step}>
                <span class="log-number">{step + 1}</span>
                <span class="grow">
                  {what} <b>{found}</b>
                </span>
                <button
                  type="button"
                  aria-label={`Take back step ${step + 1}: ${what}`}
                  onClick={() => desk.act((session) => session.undo(step), "findings")}
                >
                  Take back
                </button>
              </li>
            )
          })}
        </ol>
      )}
    </section>
  )
}
