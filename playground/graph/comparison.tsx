import { type Section, sections, wayText } from "../../compiler/cli/commands/diff-text.ts"
import { type Difference, isNone } from "../../compiler/graph/difference.ts"
import { against, difference, stopComparing } from "../actions/compare-graphs.ts"
import { percent } from "../ui/figures.ts"

const MOST = 30

interface Props {
  readonly money: string
  readonly onChoose: (node: number, bring: boolean) => void
}

/** What is another than in the version that the graph is held against, and where the two plans part. */
export function Comparison({ money, onChoose }: Props) {
  const other = against.value
  const found = difference.value
  if (!other) return null
  return (
    <section class="comparison" aria-labelledby="comparison-title">
      <div class="row">
        <h2 id="comparison-title" class="grow">
          Against {other.label}
        </h2>
        <button type="button" class="tool small" onClick={stopComparing}>
          Close
        </button>
      </div>
      {!found && (
        <p class="quiet" role="status">
          Planning that version…
        </p>
      )}
      {found && isNone(found) && <p>Nothing changes.</p>}
      {found && (
        <>
          <Lines sections={sections({ ...nothing, figures: found.figures }, [], money)} />
          <Partings found={found} onChoose={onChoose} />
          <details>
            <summary>What else is another</summary>
            <Lines sections={sections({ ...found, figures: [], partings: [], same: 1 }, [], money)} />
          </details>
        </>
      )}
    </section>
  )
}

const nothing: Difference = {
  figures: [],
  declared: [],
  chances: [],
  rules: undefined,
  same: 1,
  partings: [],
}

/** As the command line says it. */
function Lines({ sections }: { sections: readonly Section[] }) {
  return sections.map(({ title, lines }) => (
    <div key={title}>
      <h3>{title}</h3>
      <ul class="small">
        {lines.map((line) => (
          <li key={line}>{line.replace(" -> ", " → ")}</li>
        ))}
      </ul>
    </div>
  ))
}

function Partings({ found, onChoose }: Pick<Props, "onChoose"> & { found: Difference }) {
  const { same, partings } = found
  return (
    <>
      <h3>{percent(same)} of jobs go the same way</h3>
      <ol class="outcomes">
        {partings.slice(0, MOST).map(({ after, old, fresh, share, node }) => (
          <li key={after.join()}>
            <button
              type="button"
              disabled={node === undefined}
              onClick={() => node !== undefined && onChoose(node, true)}
            >
              <span class="small quiet">{wayText(after)}</span>
              <span class="number small">{percent(share)}</span>
              <span class="then">
                <del>{old}</del> <ins>{fresh}</ins>
              </span>
            </button>
          </li>
        ))}
      </ol>
      {partings.length > MOST && <p class="small quiet">and {partings.length - MOST} more</p>}
    </>
  )
}
