import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { applyEdit, applySure, sureChanges } from "../actions/apply-edits.ts"
import { goToSource } from "../actions/navigate.ts"
import { sentence } from "../sentence-case.ts"
import { placeOf } from "../source-link.tsx"
import { findings, isEmpty, quickFindings } from "../state.ts"
import { Ticked } from "../ticked.tsx"

const words = { error: "Error", warning: "Warning", note: "Note" } as const
const most = 60

/** Everything that the compiler says, with its places and its mends; the same as the marks in the text. */
export function FindingList() {
  const all = findings.value
  const order = { error: 0, warning: 1, note: 2 }
  const sorted = [...all].sort(
    (a, b) =>
      order[a.severity] - order[b.severity] ||
      a.span.file.localeCompare(b.span.file) ||
      a.span.start - b.span.start,
  )
  const sure = sureChanges(quickFindings.value).length
  return (
    <section class="findings" aria-labelledby="findings-head">
      <h2 id="findings-head">
        Findings <span class="quiet">{all.length}</span>
      </h2>
      {isEmpty.value ? (
        <FirstSteps />
      ) : (
        all.length === 0 && <p class="quiet">Nothing to say against this text.</p>
      )}
      {sure > 1 && (
        <p class="row">
          <button type="button" onClick={applySure}>
            Mend the {sure} sure ones
          </button>
        </p>
      )}
      <ul>
        {sorted.slice(0, most).map((found) => (
          <Item key={`${found.code}${found.span.file}${found.span.start}${found.message}`} found={found} />
        ))}
      </ul>
      {all.length > most && <p class="small quiet">and {all.length - most} more</p>}
    </section>
  )
}

/** What helps who looks at an empty page. */
function FirstSteps() {
  return (
    <>
      <p class="quiet">
        Nothing is written yet. Begin with the line <code>ruleset</code>, then the parts, what can be wrong
        with them, what can be read, and the tests. Ctrl+Space shows at any place what may come there.
      </p>
      <p>
        <a href="#help/from-a-notebook">From a notebook page to a ruleset</a>, in half an hour
      </p>
    </>
  )
}

function Item({ found }: { found: Diagnostic }) {
  return (
    <li class={`finding ${found.severity}`}>
      <button type="button" class="plain finding-go" onClick={() => goToSource(found.span)}>
        <b class={`severity ${found.severity}`}>{words[found.severity]}</b>{" "}
        <span class="small quiet">{placeOf(found.span)}</span>
        <span class="finding-text">
          <Ticked text={found.message} />
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
          <Ticked text={label.text} /> <span class="quiet">{placeOf(label.span)}</span>
        </button>
      ))}
      {found.help && (
        <p class="small">
          <Ticked text={found.help} />
        </p>
      )}
      {found.edits.length > 0 && (
        <p class="row">
          {found.edits.map((edit) => (
            <button key={edit.title} type="button" onClick={() => applyEdit(edit)}>
              <Ticked text={sentence(edit.title)} />
            </button>
          ))}
        </p>
      )}
    </li>
  )
}
