import { stopPlanning } from "../actions/text.ts"
import { stopAsked } from "../state/state.ts"

/** Ends the search for a plan with the best one so far. */
export function StopButton() {
  return (
    <button type="button" disabled={stopAsked.value} onClick={stopPlanning}>
      {stopAsked.value ? "Stopping…" : "Good enough: stop"}
    </button>
  )
}
