import type { Progress } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { planNow, stopPlanning } from "../actions/text.ts"
import { CodeText } from "../code-text.tsx"
import { money, percent } from "../figures.ts"
import { compiled, isEmpty, planState, stopAsked, version } from "../state.ts"
import { largeText } from "../why-no-graph.ts"

/** The cost of the best plan, and how well that is proved. */
export function PlanCard() {
  const made = compiled.value
  const state = planState.value
  const graph = made?.graph
  const old = made !== undefined && made.version !== version.value
  return (
    <section class="plan-card" aria-labelledby="plan-head">
      <h2 id="plan-head">Best plan</h2>
      {state.kind === "blocked" && (
        <p class="quiet">
          {isEmpty.value ? "Appears with your first complete ruleset." : "Fix the errors first."}
        </p>
      )}
      {state.kind === "checking" && (
        <p class="quiet" role="status">
          Checking…
        </p>
      )}
      {state.kind === "failed" && (
        <p class="warned" role="alert">
          The compiler crashed on this text. That is a bug in the compiler, not in your text, which is safe.
          Please report it with this message: {state.message}
        </p>
      )}
      {state.kind === "planning" && <Searching progress={state.progress} />}
      {state.kind === "writing" && (
        <p class="quiet" role="status">
          Writing the graph…
        </p>
      )}
      {state.kind === "large" && (
        <p class="warned" role="alert">
          <CodeText text={largeText(state.nodes)} />
        </p>
      )}
      {graph && (
        <dl class={old ? "facts old" : "facts"}>
          <Fact name="A job costs" value={money(graph.expected.total, graph.money)} />
          <Fact name="At the bench" value={`${graph.expected.minutes.toFixed(1)} min`} />
          <Fact name="Steps" value={graph.expected.steps.toFixed(1)} />
          <Fact name="Wrong verdicts" value={percent(graph.expected.wrong)} />
          <Fact name="Handed over" value={percent(graph.expected.handover)} />
          <Fact name="Proof" value={proofText(graph)} />
        </dl>
      )}
      {made && !old && !made.final && <p class="small quiet">The best plan so far. The search continues.</p>}
      {state.kind === "stopped" && !old && (
        <p class="row small">
          <span class="quiet">You stopped the search. This is the best plan found.</span>
          <button type="button" onClick={planNow}>
            Search again
          </button>
        </p>
      )}
      {old && <p class="small quiet">From before your last changes.</p>}
    </section>
  )
}

function proofText({ expected, proof }: Graph): string {
  if (proof.exact) return "optimal"
  if (proof.lower <= 0) return "none: a much cheaper plan may exist"
  return `within ${percent((expected.total - proof.lower) / expected.total)} of the best`
}

/** The amounts are the cost of the best plan so far, and the bound that no plan can beat. */
function Searching({ progress }: { progress: Progress }) {
  const { expanded, upper, lower, spent } = progress
  return (
    <div class="searching">
      <label class="progress">
        <span class="quiet">
          Searching for the best plan: {expanded.toLocaleString("en")} states examined
          {Number.isFinite(upper) &&
            `, a job costs ${lower > 0 ? `${lower.toFixed(1)} to` : "at most"} ${upper.toFixed(1)}`}
        </span>
        <progress value={spent} max={1} />
      </label>
      <button type="button" disabled={stopAsked.value} onClick={stopPlanning}>
        {stopAsked.value ? "Stopping…" : "Good enough: stop"}
      </button>
    </div>
  )
}

function Fact({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  )
}
