import { useEffect } from "preact/hooks"
import { casesState } from "../actions/case-file.ts"
import { countsShown } from "../actions/line-uses.ts"
import { replayWhenNeeded } from "../actions/replay.ts"

/** Turns the case counts after the lines on and off; while on, they follow the text. */
export function CaseCounts() {
  const { cases } = casesState.value
  const on = countsShown.value
  useEffect(() => (on && cases > 0 ? replayWhenNeeded() : undefined), [on, cases > 0])
  if (cases === 0) return null
  return (
    <label class="small check">
      <input
        type="checkbox"
        checked={on}
        onChange={({ currentTarget }) => {
          countsShown.value = currentTarget.checked
        }}
      />
      <span>
        Case counts
        <span class="quiet">
          : <b>● 3</b> after a line, three recorded cases used it; <b>○ none</b>, no case did
        </span>
      </span>
    </label>
  )
}
