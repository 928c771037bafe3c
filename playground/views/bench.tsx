import { desk } from "../actions/bench.ts"
import { BenchDesk } from "../bench/bench.tsx"
import { CodeText } from "../code-text.tsx"
import { compiled, planState } from "../state.ts"
import { whyNoGraph } from "../why-no-graph.ts"

/** The runner at the bench, on the graph that was compiled last. */
export function Bench() {
  const now = desk.value
  if (!now) {
    return (
      <div class="empty">
        <h2>No job yet</h2>
        <p>
          <CodeText text={compiled.value ? "Opening the bench…" : whyNoGraph(planState.value)} />
        </p>
      </div>
    )
  }
  return <BenchDesk key={now.graph.ruleset.source} desk={now} />
}
