import { stopPlanning } from "../actions/text.ts"
import { money, percent } from "../graph/words.ts"
import { compiled, planState, version } from "../state.ts"

/** What the ruleset comes to: the cost of its best plan, and how well that is proved. */
export function PlanCard() {
  const made = compiled.value
  const state = planState.value
  const graph = made?.graph
  const old = made !== undefined && made.version !== version.value
  return (
    <section class="plan-card" aria-labelledby="plan-head">
      <h2 id="plan-head">Best plan</h2>
      {state.kind === "blocked" && <p class="quiet">Waits until the errors are mended.</p>}
      {state.kind === "checking" && (
        <p class="quiet" role="status">
          Checking…
        </p>
      )}
      {state.kind === "failed" && (
        <p class="warned" role="alert">
          The compiler stopped on this text, which is a mistake of its own. Your text is kept; please report
          it with these words: {state.message}
        </p>
      )}
      {state.kind === "planning" && (
        <p class="row" role="status">
          <span class="quiet">
            Searching: {state.progress.expanded.toLocaleString()} states, between{" "}
            {state.progress.lower.toFixed(1)} and {state.progress.upper.toFixed(1)}
          </span>
          <button type="button" onClick={stopPlanning}>
            Good enough
          </button>
        </p>
      )}
      {graph && (
        <dl class={old ? "facts old" : "facts"}>
          <Fact name="A job costs" value={money(graph.expected.total, graph.money)} />
          <Fact name="at the bench" value={`${graph.expected.minutes.toFixed(1)} min`} />
          <Fact name="steps" value={graph.expected.steps.toFixed(1)} />
          <Fact name="wrong verdicts" value={percent(graph.expected.wrong)} />
          <Fact name="handed over" value={percent(graph.expected.handover)} />
          <Fact
            name="proof"
            value={
              graph.proof.exact
                ? "exact: none is cheaper"
                : `within ${percent((graph.expected.total - graph.proof.lower) / graph.expected.total)} of the best`
            }
          />
        </dl>
      )}
      {made && !old && !made.final && <p class="small quiet">The best plan so far; the search goes on.</p>}
      {old && <p class="small quiet">Of the text before the last changes.</p>}
    </section>
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
