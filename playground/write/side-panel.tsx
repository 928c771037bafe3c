import { useSignal } from "@preact/signals"
import { lazy, Suspense } from "preact/compat"
import { CaseCounts } from "./case-counts.tsx"
import { PlanCard } from "./plan-card.tsx"
import { ProblemList } from "./problem-list.tsx"

const Graph = lazy(() => import("../views/graph.tsx").then((m) => m.GraphView))

/** SidePanel the text on a wide screen, below it on a narrow one: the problems, the plan, and the graph if wanted. */
export function SidePanel() {
  const graph = useSignal(false)
  return (
    <div class={graph.value ? "beside with-graph" : "beside"} id="after-editor" tabIndex={-1}>
      <div class="beside-switch row">
        <button
          type="button"
          aria-pressed={graph.value}
          onClick={() => {
            graph.value = !graph.value
          }}
        >
          Graph beside the text
        </button>
        <CaseCounts />
      </div>
      {graph.value ? (
        <Suspense fallback={<p class="quiet">Loading the graph…</p>}>
          <Graph />
        </Suspense>
      ) : (
        <>
          <ProblemList />
          <PlanCard />
        </>
      )}
    </div>
  )
}
