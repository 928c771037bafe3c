import { signal } from "@preact/signals"
import { hasScenarios } from "../actions/scenarios.ts"
import { Late } from "../ui/late.tsx"
import { CaseCounts } from "./case-counts.tsx"
import { Outline } from "./outline.tsx"
import { PlanCard } from "./plan-card.tsx"
import { ProblemList } from "./problem-list.tsx"
import { Scenarios } from "./scenarios.tsx"

const graph = () => import("../views/graph.tsx").then(({ GraphView }) => GraphView)

type Shown = "outline" | "scenarios" | "graph"

/** What stands beside the text; kept while somebody is at another station. */
const shown = signal<"problems" | Shown>("problems")

/** Beside the text on a wide screen, below it on a narrow one: the problems, the outline or the scenarios
 * with the plan, or the graph. */
export function SidePanel() {
  return (
    <div class={shown.value === "graph" ? "beside with-graph" : "beside"} id="after-editor" tabIndex={-1}>
      <div class="beside-switch row">
        <Switch of="outline">Outline</Switch>
        {hasScenarios.value && <Switch of="scenarios">Scenarios</Switch>}
        <Switch of="graph" label="Graph beside the text">
          Graph
        </Switch>
        <CaseCounts />
      </div>
      {shown.value === "graph" ? (
        <Late load={graph} name="the graph" />
      ) : (
        <>
          {shown.value === "outline" ? (
            <Outline />
          ) : shown.value === "scenarios" && hasScenarios.value ? (
            <Scenarios />
          ) : (
            <ProblemList />
          )}
          <PlanCard />
        </>
      )}
    </div>
  )
}

/** Shows one thing beside the text, and the problems again. */
function Switch({ of, label, children }: { of: Shown; label?: string; children: string }) {
  return (
    <button
      type="button"
      aria-pressed={shown.value === of}
      aria-label={label}
      title={label}
      onClick={() => {
        shown.value = shown.value === of ? "problems" : of
      }}
    >
      {children}
    </button>
  )
}
