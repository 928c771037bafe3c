import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { Belief, Plan } from "../../plan/plan.ts"
import type { FaultIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import type { Context } from "../context.ts"
import { faultNames } from "../message-parts.ts"
import { repairKey, topologicalOrder, unprovedNote } from "../plan-paths.ts"
import { deadFaults } from "../proofs/dead-faults.ts"
import { dearRepairs, unrepairedFaults } from "../proofs/repairs.ts"
import { actionCures } from "../remedies.ts"

/** Where the plan leaves more of a fault's jobs to the runner than this share, nothing is said of it. */
const MOST_UNPLANNED = 0.05

/** A fault is repaired where more than this share of its jobs are: rare branches end in trying whatever is left. */
const REPAIRED = 0.01

/** Faults that all together are rarer than this are not worth a warning, as a dead end of the plan is not. */
const WORTH_NAMING = 0.01

export const neverBlamed: Check = {
  code: "never-blamed",
  severity: "warning",
  ofPlan: true,
  summary: "A fault that the best plan never repairs although it can occur.",
  explain: `No action of the plan cures this fault: wherever it is still possible, the plan repairs others, closes or hands over. A
machine with this fault comes back, or ends with somebody else. A cheap test that tells it from those others would change
that, or a higher \`comeback\` if one costs more than the ruleset says. Not counted are faults whose repair costs more than
handing over even if they are known for certain, and faults that all together are in fewer than 1 % of the machines.`,
  example: `setup post "post anchoring"
fault post_loose "post loose in its footing"  in post  odds 0.8
  shows hum is yes
  shows rail between 22 and 26 V
  fix takes 90 min`,
  fixed: `setup post "post anchoring"
fault post_loose "post loose in its footing"  in post  odds 0.8
  shows hum is yes
  shows rail between 22 and 26 V
  shows lean is yes
  fix takes 90 min
reading lean "Does the post lean?"  yes or no
  normally is no 99%
test look_lean "Look along the post"  reads lean  takes 1 min`,
  alongside: ["no-way-on"],
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const { lost, winners, handed, share } = faultsLost(context, plan)
    if (lost.reduce((sum, fault) => sum + share(fault), 0) <= WORTH_NAMING) return
    for (const fault of lost) {
      const { name, span } = at(model.faults, fault)
      const over = [...(winners.get(fault) ?? new Map<FaultIndex, number>())].sort((a, b) => b[1] - a[1])
      const names = over.map(([winner]) => winner)
      const isBeaten = over.length > 0 && (handed.get(fault) ?? 0) < share(fault) / 2
      const why = isBeaten
        ? `${faultNames(model, names, 3)} always ${over.length === 1 ? "wins" : "win"} over it`
        : handed.has(fault)
          ? "the plan mostly hands such jobs over"
          : "the plan never gets to it"
      yield diagnostic(
        "warning",
        "never-blamed",
        span,
        `The best plan never repairs ${backticked(name)}, though ${percent(share(fault))} of the jobs have it: ${why}.`,
        {
          labels: names
            .slice(0, 3)
            .map((winner) => ({ span: at(model.faults, winner).span, text: "repaired instead" })),
          help: `Add a test that tells it from ${isBeaten ? "these" : "the others"}.${unprovedNote(plan)}`,
        },
      )
    }
  },
}

/** Faults that can occur and are worth their repair, and that the plan never cures. */
function faultsLost(context: Context, plan: Plan) {
  const { model } = context
  const { cured, winners, handed, unplanned } = repairsIn(model, plan)
  const { present } = at(plan.nodes, plan.start).belief
  const share = (fault: FaultIndex) => at(present, fault)
  const others = new Set([
    ...context.once(deadFaults).map(({ fault }) => fault),
    ...context.once(unrepairedFaults),
    ...context.once(dearRepairs),
  ])
  const isRepaired = (fault: FaultIndex) => (cured.get(fault) ?? 0) > REPAIRED * share(fault)
  const lost = [...model.faults.keys()].filter(
    (fault) =>
      !others.has(fault) &&
      !isRepaired(fault) &&
      share(fault) > 0 &&
      (unplanned.get(fault) ?? 0) <= MOST_UNPLANNED * share(fault),
  )
  return { lost, winners, handed, share }
}

/** Which faults the plan cures somewhere, and what it does instead where it leaves one. */
function repairsIn(model: Model, plan: Plan) {
  const cured = new Map<FaultIndex, number>()
  const unplanned = new Map<FaultIndex, number>()
  const handed = new Map<FaultIndex, number>()
  const winners = new Map<FaultIndex, Map<FaultIndex, number>>()
  for (const node of topologicalOrder(plan).map((i) => at(plan.nodes, i))) {
    const left = uncured(node.belief)
    const cures = (fault: FaultIndex) => actionCures(model, node, fault) > 0
    for (const [fault, chance] of left)
      if (cures(fault)) cured.set(fault, (cured.get(fault) ?? 0) + node.reach * chance)
    const ends = node.do === "advise" ? unplanned : node.do === "handover" ? handed : undefined
    for (const [fault, chance] of left) ends?.set(fault, (ends.get(fault) ?? 0) + node.reach * chance)
    if (repairKey(node) === undefined) continue
    const [winner] = [...left.keys()].filter(cures)
    if (winner === undefined) continue
    for (const [fault, chance] of left) {
      if (cures(fault)) continue
      const over = winners.get(fault) ?? new Map<FaultIndex, number>()
      over.set(winner, (over.get(winner) ?? 0) + node.reach * chance)
      winners.set(fault, over)
    }
  }
  return { cured, winners, handed, unplanned }
}

/** By fault, the likeliest first: the chance that it is there and not cured. */
function uncured({ hypotheses }: Belief): ReadonlyMap<FaultIndex, number> {
  const chances = new Map<FaultIndex, number>()
  for (const { faults, cured, chance } of hypotheses) {
    if (chance <= 0) continue
    for (const fault of faults)
      if (!cured.includes(fault)) chances.set(fault, (chances.get(fault) ?? 0) + chance)
  }
  return new Map([...chances].sort((a, b) => b[1] - a[1] || a[0] - b[0]))
}
