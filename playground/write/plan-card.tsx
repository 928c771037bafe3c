import type { ComponentChildren } from "preact"
import type { Progress } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { grouped, rounded } from "../../compiler/wording/figures.ts"
import { planNow } from "../actions/text.ts"
import type { Compiled } from "../state/plan-state.ts"
import { compiled, counts, isEmpty, planState, version } from "../state/state.ts"
import { largeText } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"
import { minutes, money, percent } from "../ui/figures.ts"
import { StopButton } from "../ui/stop-button.tsx"

/** The cost of the best plan, and how well that is proved. */
export function PlanCard() {
  const made = compiled.value
  const state = planState.value
  const old = made !== undefined && made.version !== version.value
  return (
    <section class="plan-card" aria-labelledby="plan-head">
      <h2 id="plan-head">Best plan</h2>
      {state.kind === "blocked" && <p class="quiet">{blockedText()}</p>}
      {state.kind === "held" && <Held />}
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
      {made && <PlanFacts made={made} old={old} />}
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

function blockedText(): string {
  if (isEmpty.value) return "Appears with your first complete ruleset."
  return counts.value.error === 0 ? "Finish what you are writing." : "Fix the errors first."
}

/** What closed the page once may do so again. */
function Held() {
  return (
    <>
      <p class="warned" role="alert">
        This page closed unexpectedly while it analysed this ruleset. Your text is safe. It isn't analysed
        again until you ask: make it smaller first, or analyse it on the command line.
      </p>
      <button type="button" onClick={planNow}>
        Analyse it
      </button>
    </>
  )
}

function PlanFacts({ made: { graph, final }, old }: { made: Compiled; old: boolean }) {
  const { expected, money: currency } = graph
  return (
    <dl class={old ? "facts old" : "facts"}>
      <Fact name="A job costs" value={money(expected.total, currency)} />
      {/* What a job costs to whoever knows the fault is worked out when the search is over. */}
      {final && (
        <Fact name="Price of not knowing" value={money(expected.total - expected.unavoidable, currency)}>
          what a job costs beyond {money(expected.unavoidable, currency)}, which it would cost if the fault
          were known
        </Fact>
      )}
      <Fact name="Proof" value={graph.proof.exact ? "optimal" : "not proved"}>
        {gapText(graph)}
      </Fact>
      <Fact name="Work" value={minutes(expected.minutes)} />
      <Fact name="Steps" value={rounded(expected.steps)} />
      <Fact name="Parts bought in vain" value={money(expected.wasted, currency)} />
      {expected.waiting > 0 && <Fact name="Waiting" value={money(expected.waiting, currency)} />}
      <Fact name="Comes back" value={percent(expected.comesBack)} />
      <Fact name="Handed over" value={percent(expected.handedOver)} />
    </dl>
  )
}

/** How far from the best the plan may be: of all that a job costs, and of the price of not knowing alone. */
function gapText({ expected, proof }: Graph): string {
  const { total, unavoidable } = expected
  if (proof.exact) return ""
  if (proof.lower <= 0) return "a much cheaper plan may exist"
  const gap = total - proof.lower
  const ofTotal = `the total is within ${percent(gap / total)} of the best`
  if (unavoidable === 0 || total - unavoidable <= 0) return ofTotal
  return `${ofTotal}, the price of not knowing within ${percent(Math.min(1, gap / (total - unavoidable)))}`
}

/** The amounts are the cost of the best plan so far, and the bound that no plan can beat. */
function Searching({ progress }: { progress: Progress }) {
  const { expanded, upper, lower, spent } = progress
  return (
    <div class="searching">
      <label class="progress">
        <span class="quiet">
          Searching for the best plan: {grouped(expanded)} states examined
          {Number.isFinite(upper) &&
            `, a job costs ${lower > 0 ? `${lower.toFixed(1)} to` : "at most"} ${upper.toFixed(1)}`}
        </span>
        <progress value={spent} max={1} />
      </label>
      <StopButton />
    </div>
  )
}

interface FactProps {
  readonly name: string
  readonly value: string
  readonly children?: ComponentChildren
}

function Fact({ name, value, children }: FactProps) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
      {children && <dd class="fact-note">{children}</dd>}
    </div>
  )
}
