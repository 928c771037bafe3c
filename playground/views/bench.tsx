import { desk } from "../actions/bench.ts"
import { BenchDesk } from "../bench/bench.tsx"
import { whyNoGraph } from "../plan-words.ts"
import { compiled, planState } from "../state.ts"
import { Ticked } from "../ticked.tsx"

/** The runner at the bench, on the graph that was compiled last. */
export function Bench() {
  const now = desk.value
  if (!now) {
    return (
      <div class="empty">
        <h2>No job yet</h2>
        <p>
          <Ticked text={compiled.value ? "Opening the bench…" : whyNoGraph(planState.value)} />
        </p>
      </div>
    )
  }
  return <BenchDesk key={now.graph.ruleset.source} desk={now} />
}
