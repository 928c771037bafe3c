import type { CaseFinding } from "../../compiler/cases/read.ts"
import { Ticked } from "../ticked.tsx"

const most = 30

/** What the file of cases says that the ruleset does not know, by its lines. */
export function Unread({ findings }: { findings: readonly CaseFinding[] }) {
  if (findings.length === 0) return null
  return (
    <section class="card" aria-labelledby="unread-title">
      <h2 id="unread-title">Not understood in the file</h2>
      <ul class="notes">
        {findings.slice(0, most).map((each) => (
          <li key={`${each.line}${each.path}${each.code}`}>
            Line {each.line}: <Ticked text={each.message} /> <span class="quiet">{each.help}</span>
          </li>
        ))}
      </ul>
      {findings.length > most && <p class="small quiet">and {findings.length - most} more</p>}
    </section>
  )
}
