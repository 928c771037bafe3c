import { safeEdits } from "../../compiler/diagnostics/apply-edits.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { applyEdit, applySafeEdits } from "../actions/apply-edits.ts"
import { goToSource } from "../actions/navigate.ts"
import { diagnostics, isEmpty, planState, quickDiagnostics } from "../state/state.ts"
import { CodeText } from "../ui/code-text.tsx"
import { placeOf } from "../ui/source-link.tsx"

const severityNames = { error: "Error", warning: "Warning", note: "Note" } as const
const MOST = 60

/** Everything the compiler reports, with its places and fixes; the same as the marks in the text. */
export function ProblemList() {
  const all = diagnostics.value
  const order = { error: 0, warning: 1, note: 2 }
  const sorted = [...all].sort(
    (a, b) =>
      order[a.severity] - order[b.severity] ||
      a.span.file.localeCompare(b.span.file) ||
      a.span.start - b.span.start,
  )
  const safe = safeEdits(quickDiagnostics.value).length
  return (
    <section class="problems" aria-labelledby="problems-head">
      <h2 id="problems-head" class="unseen">
        Problems {all.length}
      </h2>
      {isEmpty.value ? <FirstSteps /> : all.length === 0 && <p class="quiet">{noneText()}</p>}
      {safe > 1 && (
        <p class="row">
          <button type="button" onClick={applySafeEdits}>
            Apply the {safe} safe fixes
          </button>
        </p>
      )}
      <ul>
        {sorted.slice(0, MOST).map((found) => (
          <Item key={`${found.code}${found.span.file}${found.span.start}${found.message}`} found={found} />
        ))}
      </ul>
      {all.length > MOST && <p class="small quiet">and {all.length - MOST} more</p>}
    </section>
  )
}

function noneText(): string {
  return planState.value.kind === "held" ? "The text reads well. It isn't analysed." : "No problems found."
}

/** What to do on an empty page. */
function FirstSteps() {
  return (
    <>
      <p class="quiet">
        The file is empty. Start with a <code>ruleset</code> line, then the parts, what can go wrong with
        them, what can be read, and the tests. Press Ctrl+Space anywhere to see what can come next.
      </p>
      <p>
        <a href="#help/from-a-notebook">From a notebook page to a ruleset</a>, in half an hour
      </p>
    </>
  )
}

function Item({ found }: { found: Diagnostic }) {
  return (
    <li class={`problem ${found.severity}`}>
      <button type="button" class="plain problem-go" onClick={() => goToSource(found.span)}>
        <b class={`severity ${found.severity}`}>{severityNames[found.severity]}</b>{" "}
        <span class="small quiet">{placeOf(found.span)}</span>
        <span class="problem-text">
          <CodeText text={found.message} />
        </span>
      </button>
      <a class="small" href={`#help/codes/${found.code}`}>
        More on <code>{found.code}</code>
      </a>
      {found.labels.map((label) => (
        <button
          key={`${label.span.file}${label.span.start}${label.text}`}
          type="button"
          class="plain link small"
          onClick={() => goToSource(label.span)}
        >
          <CodeText text={label.text} /> <span class="quiet">{placeOf(label.span)}</span>
        </button>
      ))}
      {found.help && (
        <p class="small">
          <CodeText text={found.help} />
        </p>
      )}
      {found.edits.length > 0 && (
        <p class="row">
          {found.edits.map((edit) => (
            <button key={edit.title} type="button" onClick={() => applyEdit(edit)}>
              <CodeText text={capitalized(edit.title)} />
            </button>
          ))}
        </p>
      )}
    </li>
  )
}
