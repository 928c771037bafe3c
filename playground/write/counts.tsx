import { useEffect } from "preact/hooks"
import { casesState, replayWhenNeeded } from "../actions/cases.ts"
import { countsShown } from "../actions/line-uses.ts"

/** Switches the counts of the recorded cases behind the lines on and off; while on, they follow the text. */
export function Counts() {
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
          Behind a line, <b>● 3</b>: three of the recorded cases used it. <b>○ none</b>: not one did.
        </p>
      )}
    </>
  )
}
