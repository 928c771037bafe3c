import { openedJob } from "../actions/bench.ts"
import { JobView } from "../bench/job-view.tsx"
import { CodeText } from "../code-text.tsx"
import { compiled, planState } from "../state.ts"
import { whyNoGraph } from "../why-no-graph.ts"

/** The runner at the bench, on the graph that was compiled last. */
export function Bench() {
  const job = openedJob.value
  if (!job) {
    return (
      <div class="empty">
        <h2>No job yet</h2>
        <p>
          <CodeText text={compiled.value ? "Opening the bench…" : whyNoGraph(planState.value)} />
        </p>
      </div>
    )
  }
  return <JobView key={job.graph.ruleset.source} job={job} />
}
