import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { type Target, type TargetName, targets } from "../../compiler/ship/targets.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { saveWritten, written as writtenAs } from "../actions/ship.ts"
import { compiled, version } from "../state/state.ts"
import { signing } from "./signing.ts"

/** Nothing of both while it is being written. */
interface Written {
  readonly text?: string
  /** Why this graph can't be written so. */
  readonly problem?: string
}

/** Letters of the preview; the file has all. */
const SHOWN = 6000

/** The graph in the formats of other tools: each is looked at before it is saved. */
export function OtherTools() {
  const made = compiled.value
  const chosen = useSignal<TargetName | undefined>(undefined)
  const written = useSignal<Written>({})
  const name = chosen.value
  const target = name && targets[name]
  const key = signing.value
  useEffect(() => {
    written.value = {}
    if (!made || !name) return
    let late = false
    const take = (result: Written) => {
      if (!late) written.value = result
    }
    writtenAs(made.graph, name).then(
      (text) => take({ text }),
      (error: unknown) => take({ problem: error instanceof Error ? error.message : String(error) }),
    )
    return () => {
      late = true
    }
  }, [made, name, written, key])
  if (!made) return null
  const { text } = written.value
  const file = target?.files[0]
  const isReady = made.final && made.version === version.value
  return (
    <section class="card" aria-labelledby="other-tools-title">
      <h2 id="other-tools-title">Every format</h2>
      <p class="row">
        <TargetSelect
          chosen={name}
          onChoose={(next) => {
            chosen.value = next
          }}
        />
        {name && file && (
          <button
            type="button"
            disabled={!isReady || text === undefined}
            onClick={() => saveWritten(made.graph, name, text ?? "")}
          >
            Save {made.graph.ruleset.name}
            {file.ending}
          </button>
        )}
      </p>
      {target && <Preview target={target} written={written.value} />}
    </section>
  )
}

interface SelectProps {
  readonly chosen: TargetName | undefined
  readonly onChoose: (target: TargetName | undefined) => void
}

const all = Object.keys(targets) as TargetName[]

function TargetSelect({ chosen, onChoose }: SelectProps) {
  return (
    <label class="row">
      Format
      <select
        value={chosen ?? ""}
        onChange={(event) => onChoose(all.find((name) => name === event.currentTarget.value))}
      >
        <option value="">choose…</option>
        {[...groupBy(all, (name) => targets[name].group)].map(([group, names]) => (
          <optgroup key={group} label={capitalized(group)}>
            {names.map((name) => (
              <option key={name} value={name}>
                {targets[name].title}
              </option>
            ))}
          </optgroup>
        ))}
      </select>
    </label>
  )
}

function Preview({ target, written: { text, problem } }: { target: Target; written: Written }) {
  if (problem !== undefined)
    return (
      <p class="warned" role="alert">
        {problem}
      </p>
    )
  if (text === undefined)
    return (
      <p class="quiet" role="status">
        Writing…
      </p>
    )
  return (
    <>
      <p class="small quiet">
        {capitalized(target.says)}. {countOf(text.split("\n").length, "line")}.
      </p>
      <section aria-label={`Preview: ${target.title}`}>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is reached by keys */}
        <pre class="preview" tabIndex={0}>
          {text.length > SHOWN ? `${text.slice(0, SHOWN)}…` : text}
        </pre>
      </section>
    </>
  )
}
