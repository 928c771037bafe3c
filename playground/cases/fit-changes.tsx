import { useSignal } from "@preact/signals"
import { type Fit, isHarmful } from "../../compiler/cases/fit/fit.ts"
import type { NumberChange } from "../../compiler/cases/fit/patch.ts"
import { isFew, numberText } from "../../compiler/cases/fit/sentences.ts"
import { setOf, unsupported } from "../../compiler/cases/fit/supported.ts"
import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { itemAt } from "../../compiler/run/lookup.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { leftAlone, putIn } from "../actions/fit.ts"
import { CodeText } from "../ui/code-text.tsx"
import { SourceLink } from "../ui/source-link.tsx"

/** Every number that would change, to take or to leave. */
export function FitChanges({ fit }: { fit: Fit }) {
  const { changes } = fit
  const left = leftAlone.value
  const sets = groupBy(changes, setOf)
  const taken = changes.filter((change) => !left.has(setOf(change)))
  const leave = (names: readonly string[]) => {
    leftAlone.value = new Set(names)
  }
  const few = [...sets].filter(([, list]) => list.some(isFew)).map(([set]) => set)
  const toggle = (set: string) =>
    leave(left.has(set) ? [...left].filter((each) => each !== set) : [...left, set])
  if (changes.length === 0) return <p>No number would change.</p>
  return (
    <>
      <h3 id="fit-changes-title">{countOf(changes.length, "number")} would change</h3>
      <p class="small quiet">{offeredText(fit)}</p>
      <ul class="scroll fit-changes" aria-labelledby="fit-changes-title">
        {[...sets].map(([set, list]) => (
          <li key={set}>
            <label class="check">
              <input type="checkbox" checked={!left.has(set)} onChange={() => toggle(set)} />
              <span>
                <CodeText text={numberText(itemAt(list, 0))} />
              </span>
            </label>
            <ul>
              {list.map((change) => (
                <Line key={change.change.span.start} change={change} />
              ))}
            </ul>
          </li>
        ))}
      </ul>
      <p class="row">
        <PutIn taken={taken} isHarmful={isHarmful(fit)} />
        {few.length > 0 && (
          <button type="button" onClick={() => leave(few)}>
            Tick those with enough cases
          </button>
        )}
        <button type="button" onClick={() => leave(left.size > 0 ? [] : [...sets.keys()])}>
          {left.size > 0 ? "Tick all" : "Tick none"}
        </button>
      </p>
    </>
  )
}

/** Why these are ticked. */
function offeredText(fit: Fit): string {
  const { length } = unsupported(fit)
  if (length === 0) return "All are ticked: on cases that weren't fitted to, they help."
  return length === fit.changes.length
    ? "None is ticked: nothing shows that they help on other cases. Tick those that you want."
    : "Those with few cases aren't ticked. The others help on cases that weren't fitted to."
}

/** Numbers that make things worse go into the text only where somebody insists. */
function PutIn({ taken, isHarmful }: { taken: readonly NumberChange[]; isHarmful: boolean }) {
  const insists = useSignal(false)
  return (
    <>
      {isHarmful && (
        <label class="pick">
          <input
            type="checkbox"
            checked={insists.value}
            onChange={(event) => {
              insists.value = event.currentTarget.checked
            }}
          />
          I want them although they harm
        </label>
      )}
      <button
        type="button"
        class={isHarmful ? "" : "main"}
        disabled={taken.length === 0 || (isHarmful && !insists.value)}
        onClick={() => putIn(taken)}
      >
        Put {countOf(taken.length, "number")} into the text
      </button>
    </>
  )
}

function Line({ change }: { change: NumberChange }) {
  const { kind, from, to, seen } = change
  const unit = kind === "odds" ? "" : "\u00a0%"
  return (
    <li>
      <SourceLink span={change.change.span} />
      <span>
        {from} → <b>{to}</b>
        {unit}
      </span>
      <span class="small quiet">
        {kind === "odds" ? "confirmed" : "seen"} in {figure(seen.count)} of {countOf(figure(seen.of), "case")}
      </span>
      {isFew(change) && <span class="small fit-few">few cases</span>}
    </li>
  )
}

/** Some are counted by chance, so that a count may be broken. */
const figure = (count: number) => Math.round(count * 10) / 10
