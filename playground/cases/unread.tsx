import type { CaseDiagnostic } from "../../compiler/cases/record/read.ts"
import type { Tables } from "../actions/case-file.ts"
import { saveFile } from "../actions/files.ts"
import { CodeText } from "../ui/code-text.tsx"

/** Shown at once; the others, as far as a person would read them, are folded. */
const FIRST = 6
const MOST = 200

interface UnreadProps {
  readonly diagnostics: readonly CaseDiagnostic[]
  readonly tables: Tables
}

/** What the file of cases says that the ruleset does not know, by its lines or its cells. */
export function Unread({ diagnostics, tables: { remarks, rejected } }: UnreadProps) {
  const items = [
    ...remarks.slice(0, MOST).map(({ text, code }) => (
      <li key={text}>
        <CodeText text={text} /> {code && <More code={code} />}
      </li>
    )),
    ...diagnostics.slice(0, MOST).map((each) => (
      <li key={`${each.line}${each.path}${each.code}`}>
        Line {each.line}: <CodeText text={each.message} /> {each.help && <CodeText text={each.help} />}{" "}
        <More code={each.code} />
      </li>
    )),
  ]
  if (items.length === 0) return null
  return (
    <section class="card" aria-labelledby="unread-title">
      <h2 id="unread-title">
        Not understood in the file <span class="quiet">{diagnostics.length + remarks.length}</span>
      </h2>
      <ul class="notes">{items.slice(0, FIRST)}</ul>
      {items.length > FIRST && (
        <details>
          <summary>Show {Math.min(items.length, MOST) - FIRST} more</summary>
          <ul class="notes">{items.slice(FIRST, MOST)}</ul>
        </details>
      )}
      {rejected.map(({ name, text }) => (
        <p key={name} class="row">
          <button type="button" onClick={() => saveFile(name, text, "text/csv")}>
            Save the rows left out
          </button>
          <span class="small quiet">{name}</span>
        </p>
      ))}
    </section>
  )
}

const More = ({ code }: { code: string }) => (
  <a class="small" href={`#help/case-codes/${code}`}>
    More on <code>{code}</code>
  </a>
)
