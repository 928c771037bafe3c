import { desk } from "../actions/bench.ts"
import { BenchDesk } from "../bench/bench.tsx"
import { compiled, planState } from "../state.ts"

/** The runner at the bench, on the graph that was compiled last. */
export function Bench() {
  const now = desk.value
  if (!now) {
    return (
      <div class="empty">
        <h2>No job yet</h2>
        <p>
          {planState.value.kind === "blocked"
            ? "The ruleset has errors. Mend them in Write; the bench opens by itself."
            : compiled.value
              ? "Opening the bench…"
              : "The bench opens as soon as the plan is made."}
        </p>
      </div>
    )
  }
  return <BenchDesk key={now.graph.ruleset.source} desk={now} />
}
