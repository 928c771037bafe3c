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
    <>
      <button
        type="button"
        aria-pressed={on}
        onClick={() => {
          countsShown.value = !on
        }}
      >
        Case counts
      </button>
      {on && (
        <p class="small quiet counts-key">
          <b>● 3</b> after a line: three recorded cases used it. <b>○ none</b>: no case did.
        </p>
      )}
    </>
  )
}
