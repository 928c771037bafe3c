import type { CaseFinding } from "../../compiler/cases/read.ts"
import type { Tables } from "../actions/cases.ts"
import { saveFile } from "../actions/files.ts"
import { Ticked } from "../ticked.tsx"

const most = 30

interface UnreadProps {
  readonly findings: readonly CaseFinding[]
  readonly tables: Tables
}

/** What the file of cases says that the ruleset does not know, by its lines or its cells. */
export function Unread({ findings, tables: { remarks, rejected } }: UnreadProps) {
  const all = findings.length + remarks.length
  if (all === 0) return null
  return (
    <section class="card" aria-labelledby="unread-title">
      <h2 id="unread-title">Not understood in the file</h2>
      <ul class="notes">
        {remarks.slice(0, most).map((text) => (
          <li key={text}>
            <Ticked text={text} />
          </li>
        ))}
        {findings.slice(0, most).map((each) => (
          <li key={`${each.line}${each.path}${each.code}`}>
            Line {each.line}: <Ticked text={each.message} /> <span class="quiet">{each.help}</span>
          </li>
        ))}
      </ul>
      {rejected.map(({ name, text }) => (
        <p key={name} class="row">
          <button type="button" onClick={() => saveFile(name, text, "text/csv")}>
            Save the rows left out
          </button>
          <span class="small quiet">{name}</span>
        </p>
      ))}
      {Math.max(findings.length, remarks.length) > most && <p class="small quiet">{all} in all</p>}
    </section>
  )
}
