import { computed, signal } from "@preact/signals"
import { hasScenarios } from "../actions/scenarios.ts"
import { diagnostics } from "../state/state.ts"
import { Lazy } from "../ui/lazy.tsx"
import { CaseCounts } from "./case-counts.tsx"
import { Outline } from "./outline.tsx"
import { PlanCard } from "./plan-card.tsx"
import { ProblemList } from "./problem-list.tsx"
import { Scenarios } from "./scenarios.tsx"

const graph = () => import("../views/graph.tsx").then(({ GraphView }) => GraphView)

type Shown = "problems" | "outline" | "scenarios" | "graph"

/** What stands beside the text; kept while somebody is at another station. */
const shown = signal<Shown>("problems")

const problemsText = computed(() => {
  const { length } = diagnostics.value
  return length === 0 ? "Problems" : `Problems ${length}`
})

export const isGraphBeside = computed(() => shown.value === "graph")

/** Beside the text on a wide screen, below it on a narrow one: the problems, the outline or the scenarios with the plan,
 * or the graph. */
export function SidePanel() {
  return (
    <div class={isGraphBeside.value ? "beside with-graph" : "beside"} id="after-editor" tabIndex={-1}>
      <div class="beside-switch">
        {/* biome-ignore lint/a11y/useSemanticElements: a fieldset belongs to a form */}
        <div class="segments" role="group" aria-label="Beside the text">
          <Switch of="problems">{problemsText.value}</Switch>
          <Switch of="outline">Outline</Switch>
          {hasScenarios.value && <Switch of="scenarios">Scenarios</Switch>}
          <Switch of="graph" label="Graph beside the text">
            Graph
          </Switch>
        </div>
        <CaseCounts />
      </div>
      {isGraphBeside.value ? (
        <Lazy load={graph} name="the graph" />
      ) : (
        <>
          <Lists />
          <PlanCard />
        </>
      )}
    </div>
  )
}

function Lists() {
  if (shown.value === "outline") return <Outline />
  if (shown.value === "scenarios" && hasScenarios.value) return <Scenarios />
  return <ProblemList />
}

/** Shows one thing beside the text; pressed again, the problems. */
function Switch({ of, label, children }: { of: Shown; label?: string; children: string }) {
  return (
    <button
      type="button"
      aria-pressed={shown.value === of}
      aria-label={label}
      onClick={() => {
        shown.value = shown.value === of ? "problems" : of
      }}
    >
      {children}
    </button>
  )
}
