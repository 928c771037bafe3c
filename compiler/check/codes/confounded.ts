import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import { at } from "../../run/lookup.ts"
import { minutes, money, percent } from "../../wording/figures.ts"
import { backticked, counted, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { unprovedNote } from "../plan-paths.ts"
import { type Confounding, confoundings, type Separator } from "../proofs/confounded-causes.ts"
import { remedyOf } from "../remedies.ts"

export const confounded: Check = {
  code: "confounded",
  severity: "warning",
  ofPlan: true,
  summary:
    "A test after which `gone` has two or more causes with different remedies, and the plan buys or closes without separating them.",
  explain: `Fitting a known-good part also redoes whatever is undone on the way to it: a seat, a mounting, a setting. If the
complaint is gone after that, was it the part or the seat? The plan commits itself without knowing, so good parts are
bought, or machines come back. Putting the old part back tells them apart: if the complaint returns, it was the part. A
fault elsewhere that just didn't show isn't a cause (\`tries\`, \`trust\` and \`proof\` look after those), nor is one that
explains less than one \`gone\` in twenty. The message names the step, the causes with their shares, what would separate
them and what that costs. The plan leaves it out if the mistakes cost less, so check the prices and \`comeback\`.`,
  example: `part  relay "relay"  price 2  spare
setup relay_socket "relay socket contact"  of relay
fault relay_burnt  "relay burnt"           in relay         odds 9
fault socket_dull  "relay socket oxidised" in relay_socket  odds 1
test try_relay "Fit the known-good relay"  swaps relay  takes 6 min  costs 30`,
  fixed: `part  relay "relay"  price 2  spare
setup relay_socket "relay socket contact"  of relay
fault relay_burnt  "relay burnt"           in relay         odds 9
fault socket_dull  "relay socket oxidised" in relay_socket  odds 1
test clean_socket "Clean the relay socket"  redoes relay_socket  takes 2 min
test try_relay "Fit the known-good relay"  swaps relay  takes 6 min  costs 30`,
  alongside: ["never-blamed"],
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    for (const each of confoundings(context, plan)) {
      const { name, span } = at(model.tests, each.test)
      const shares = each.causes.map(
        (cause) =>
          `${backticked(at(model.faults, cause.fault).name)} (${percent(cause.chance)}: ${remedyOf(model, cause)})`,
      )
      const message = `After ${backticked(name)}, \`gone\` has ${counted(each.causes.length, "cause")} that the plan does not tell apart: ${listed(shares)}.`
      yield diagnostic("warning", "confounded", span, message, {
        labels: each.causes.map(({ fault }) => ({
          span: at(model.faults, fault).span,
          text: "also explains it",
        })),
        help: `${wayOut(model, each.separators)} ${guess(model, plan, each)}${unprovedNote(plan)}`,
      })
    }
  },
}

function wayOut(model: Model, separators: readonly Separator[]): string {
  if (separators.length === 0)
    return "No test of this ruleset would separate them: add one that redoes or reads one of them alone."
  const ways = separators.slice(0, 2).map(({ test, part, how }) => {
    const { name, cost, minutes: time } = at(model.tests, test)
    const price = `${money(cost, model.ruleset.money)}, ${minutes(time)}`
    if (part !== undefined) return `putting ${backticked(at(model.places, part).name)} back (${price})`
    return `${backticked(name)} ${how === "before" ? "done before it " : "done next "}(${price})`
  })
  return `What would separate them: ${listed(ways, "or")}.`
}

/** What the plan does instead, and what is lost when it is wrong. */
function guess(model: Model, plan: Plan, { commitment }: Confounding): string {
  const node = at(plan.nodes, commitment)
  const { belief } = node
  if (node.do === "keep" || node.do === "replace") {
    const { name, price } = at(model.places, node.part)
    const inVain = belief.hypotheses
      .filter(({ faults }) => faults.every((fault) => at(model.faults, fault).place !== node.part))
      .reduce((sum, { chance }) => sum + chance, 0)
    return `The plan buys ${backticked(name)} there: in vain in ${percent(inVain)} of these jobs, which costs ${money(inVain * price, model.ruleset.money)} on average.`
  }
  if (node.do === "fix")
    return `The plan fixes ${backticked(at(model.faults, node.fault).name)} there: right in ${percent(at(belief.active, node.fault))} of these jobs.`
  const left = belief.hypotheses
    .filter(({ faults, cured }) => faults.length === 0 || cured.length < faults.length)
    .reduce((sum, { chance }) => sum + chance, 0)
  return `The plan closes there, with a fault left in ${percent(left)} of these jobs.`
}
