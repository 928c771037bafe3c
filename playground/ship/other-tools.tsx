import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { saveFile } from "../actions/files.ts"
import { compiled, version } from "../state.ts"
import { otherTargets, type Target } from "./targets.ts"

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
  const chosen = useSignal<Target | undefined>(undefined)
  const written = useSignal<Written>({})
  const target = chosen.value
  useEffect(() => {
    written.value = {}
    if (!made || !target) return
    let late = false
    const take = (result: Written) => {
      if (!late) written.value = result
    }
    target.write(made.graph).then(
      (text) => take({ text }),
      (error: unknown) => take({ problem: error instanceof Error ? error.message : String(error) }),
    )
    return () => {
      late = true
    }
  }, [made, target, written])
  if (!made) return null
  const { text } = written.value
  const isReady = made.final && made.version === version.value
  return (
    <section class="card" aria-labelledby="other-tools-title">
      <h2 id="other-tools-title">For other tools</h2>
      <p class="row">
        <TargetSelect
          chosen={target}
          onChoose={(next) => {
            chosen.value = next
          }}
        />
        {target && (
          <button
            type="button"
            disabled={!isReady || text === undefined}
            onClick={() => saveFile(`${made.graph.ruleset.name}${target.ending}`, text ?? "", target.type)}
          >
            Save {made.graph.ruleset.name}
            {target.ending}
          </button>
        )}
      </p>
      {target && <Preview target={target} written={written.value} />}
    </section>
  )
}

interface SelectProps {
  readonly chosen: Target | undefined
  readonly onChoose: (target: Target | undefined) => void
}

function TargetSelect({ chosen, onChoose }: SelectProps) {
  return (
    <label class="row">
      Format
      <select
        value={chosen?.name ?? ""}
        onChange={(event) => onChoose(otherTargets.find(({ name }) => name === event.currentTarget.value))}
      >
        <option value="">choose…</option>
        {[...groupBy(otherTargets, ({ group }) => group)].map(([group, targets]) => (
          <optgroup key={group} label={group}>
            {targets.map(({ name }) => (
              <option key={name}>{name}</option>
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
        {target.says} {countOf(text.split("\n").length, "line")}.
      </p>
      <section aria-label={`Preview: ${target.name}`}>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is reached by keys */}
        <pre class="preview" tabIndex={0}>
          {text.length > SHOWN ? `${text.slice(0, SHOWN)}…` : text}
        </pre>
      </section>
    </>
  )
}
