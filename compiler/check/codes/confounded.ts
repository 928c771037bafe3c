import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import { money, percent } from "../../wording/figures.ts"
import { backticked, counted, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { endNodes, unprovedNote } from "../plan-paths.ts"
import { type Confounding, confoundings, type Separator } from "../proofs/confounded-causes.ts"
import { hypotheses, mends, remedyOf, remedyText } from "../remedies.ts"

export const confounded: Check = {
  code: "confounded",
  severity: "warning",
  ofPlan: true,
  summary:
    "After a test, `gone` has two or more causes with different remedies, and no later step of the plan separates them.",
  explain: `Fitting a known-good part also redoes whatever is undone on the way to it: a seat, a mounting, a setting. If the
complaint is gone then, was it the part or the seat? The plan stops there and names one of the two, so good parts are
billed, or the fault comes back. Putting the old part back tells them apart: if the complaint returns, it was the part. A
fault elsewhere that just did not show this time is no cause (\`tries\`, \`trust\` and \`proof\` look after those), nor is
one that explains less than one \`gone\` in twenty. The finding names the step, the causes with their shares, what would
separate them and what that costs; the plan leaves it out where a wrong verdict is expected to cost less, so check the
prices, \`comeback\` and \`trust\`.`,
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
      const { name, span } = model.tests[each.test]!
      const shares = each.causes.map(
        (cause) =>
          `${backticked(model.faults[cause.fault]!.name)} (${percent(cause.chance)}: ${remedyOf(model, cause)})`,
      )
      const message = `After ${backticked(name)}, \`gone\` has ${counted(each.causes.length, "cause")} that no later step of the plan tells apart: ${listed(shares)}.`
      yield diagnostic("warning", "confounded", span, message, {
        labels: each.causes.map(({ fault }) => ({
          span: model.faults[fault]!.span,
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
  const ways = separators.slice(0, 2).map(({ test, how }) => {
    const { name, part, cost, minutes } = model.tests[test]!
    const price = `${money(cost, model.ruleset.money)}, ${Math.round(minutes * 10) / 10} min`
    if (how === "put back") return `putting ${backticked(model.places[part!]!.name)} back (${price})`
    return `${backticked(name)} ${how === "before" ? "done before it " : "done next "}(${price})`
  })
  return `What would separate them: ${listed(ways, "or")}.`
}

/** What the plan does instead, and what is lost when it is wrong. */
function guess(model: Model, plan: Plan, { gone }: Confounding): string {
  const end = endNodes(plan, gone)
    .map((node) => plan.nodes[node]!)
    .filter((node) => node.do === "verdict")
    .sort((a, b) => b.reach - a.reach)[0]
  if (end === undefined || end.do !== "verdict") return "The plan hands over there."
  const wrong = hypotheses(end.belief).reduce(
    (sum, each) => sum + (mends(model, end.remedy, each) ? 0 : each.chance),
    0,
  )
  const price = end.remedy.kind === "replace" ? model.places[end.remedy.place!]!.price : 0
  const loss = wrong * (price + model.ruleset.comeback)
  return `The plan says ${remedyText(model, end.remedy)} and is wrong in ${percent(wrong)} of these jobs, which costs ${money(loss, model.ruleset.money)} on average.`
}
