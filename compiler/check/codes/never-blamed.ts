import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import { percent } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { faultNames } from "../message-parts.ts"
import { topologicalOrder, unprovedNote } from "../plan-paths.ts"
import { deadFaults } from "../proofs/dead-faults.ts"
import { hypotheses, mends } from "../remedies.ts"

export const neverBlamed: Check = {
  code: "never-blamed",
  severity: "warning",
  ofPlan: true,
  summary: "A fault that is never in a verdict of the best plan although it can occur.",
  explain: `No verdict of the plan mends this fault: wherever it is still possible, the plan names others or hands over. A machine
with this fault comes back, or ends with the senior technician. A cheap test that tells it from those others would change
that, or a higher \`comeback\` if it costs more than the ruleset says.`,
  example: `part  fuse "panel fuse"  price 1
fault fuse_weak "panel fuse weak"  in fuse  odds 0.1
  shows hum is no 10%`,
  fixed: `part  fuse "panel fuse"  price 1  spare
fault fuse_weak "panel fuse weak"  in fuse  odds 0.1
test try_fuse "Fit the known-good fuse"  swaps fuse  takes 1 min`,
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const dead = new Set(context.once(deadFaults).map(({ fault }) => fault))
    const { blamed, winners, handed, advised } = verdicts(model, plan)
    const sum = (shares: ReadonlyMap<number, number> | undefined) =>
      [...(shares?.values() ?? [])].reduce((a, b) => a + b, 0)
    for (const [fault, { name, span }] of model.faults.entries()) {
      if (dead.has(fault) || blamed.has(fault) || advised.has(fault)) continue
      const over = [...(winners.get(fault) ?? new Map<number, number>())]
        .sort((a, b) => b[1] - a[1])
        .map(([winner]) => winner)
      const all = model.faults.reduce((sum, { odds }) => sum + odds, 0)
      const why =
        over.length > 0 && sum(winners.get(fault)) >= (handed.get(fault) ?? 0)
          ? `${faultNames(model, over, 3)} always ${over.length === 1 ? "wins" : "win"} over it`
          : handed.has(fault)
            ? "where it is left, the plan mostly hands over"
            : "the plan never gets to it"
      yield diagnostic(
        "warning",
        "never-blamed",
        span,
        `${backticked(name)} is in no verdict of the best plan, though it is ${percent(model.faults[fault]!.odds / all)} of the jobs: ${why}.`,
        {
          labels: over
            .slice(0, 3)
            .map((winner) => ({ span: model.faults[winner]!.span, text: "blamed instead" })),
          help: `Add a test that tells it from ${over.length > 0 ? "these" : "the others"}.${unprovedNote(plan)}`,
        },
      )
    }
  },
}

function verdicts(model: Model, plan: Plan) {
  const blamed = new Set<number>()
  const handed = new Map<number, number>()
  const advised = new Set<number>()
  const winners = new Map<number, Map<number, number>>()
  for (const node of topologicalOrder(plan).map((i) => plan.nodes[i]!)) {
    if (node.do === "test") continue
    const left = hypotheses(node.belief)
    if (node.do === "advise") for (const each of left) advised.add(each.fault)
    if (node.do === "handover") {
      for (const each of left)
        handed.set(each.fault, (handed.get(each.fault) ?? 0) + node.reach * each.chance)
    }
    if (node.do !== "verdict") continue
    for (const each of left) if (mends(model, node.remedy, each)) blamed.add(each.fault)
    const winner = left.find((each) => mends(model, node.remedy, each))
    for (const each of left) {
      if (winner === undefined || mends(model, node.remedy, each)) continue
      const over = winners.get(each.fault) ?? new Map<number, number>()
      over.set(winner.fault, (over.get(winner.fault) ?? 0) + node.reach * each.chance)
      winners.set(each.fault, over)
    }
  }
  return { blamed, winners, handed, advised }
}
