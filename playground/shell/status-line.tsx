import { compiled, planState, savedAt, version } from "../state/state.ts"
import { storage } from "../state/store.ts"
import { percent } from "../ui/figures.ts"

const notKept = {
  refused: "Not stored: this browser keeps nothing of this page. Save what you need before you close it.",
  full: "No room left: the browser's storage is full. What is new lasts until you close the page.",
} as const

/** How things stand, in one quiet line below everything. */
export function StatusLine() {
  const state = storage.value
  return (
    <footer class={state === "kept" ? "status-line" : "status-line bad"}>
      <span class="saved" role="status">
        {state === "kept" ? savedText(savedAt.value) : notKept[state]}
      </span>
      <PlanText />
    </footer>
  )
}

function savedText(at: Date | undefined): string {
  if (at === undefined) return "Stored in this browser only"
  return `Saved ${at.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })}, in this browser only`
}

function PlanText() {
  const made = compiled.value
  const state = planState.value
  if (state.kind === "planning") return <span>Planning, {percent(state.progress.spent)} of the effort</span>
  if (!made || made.version !== version.value) return null
  const { ruleset, proof } = made.graph
  return (
    <span>
      <span>{proof.exact ? "The plan is proved best" : "The plan isn't proved best"}</span>
      <span class="digest">
        {ruleset.name} {ruleset.version} · <code>{ruleset.source.slice(7, 19)}</code>
      </span>
    </span>
  )
}
