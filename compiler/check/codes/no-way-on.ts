import { diagnostic, type Span } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import { fixWork } from "../../model/repairs.ts"
import type { Belief, Hypothesis, Plan, PlanNode } from "../../plan/plan.ts"
import type { GraphAction } from "../../run/graph.ts"
import type { FaultIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import type { Context } from "../context.ts"
import { likeliestPaths, type PathToNode, pathText, repairKey, unprovedNote } from "../plan-paths.ts"
import { doableTests } from "../proofs/doable-tests.ts"
import { dearRepairs } from "../proofs/repairs.ts"
import { type Cause, causesIn, chanceOfCure } from "../remedies.ts"

/** A dead end that fewer jobs come to than this is not reported. */
const WORTH_NAMING = 0.01

export const noWayOn: Check = {
  code: "no-way-on",
  severity: "warning",
  ofPlan: true,
  summary: "A state of the best plan with chance above 1 % that can only be handed over.",
  explain: `Jobs end here without a repair: none that is still open is as likely to be the right one as the ruleset's \`trust\` asks
for, and no test is left that is worth doing. The message names what was found on the way and what is left. Add a test
that tells these apart, a known-good part to try, or a repair that is missing. Machines with something that isn't listed
are not counted: nobody can repair those by the ruleset. Nor are those with a fault whose repair costs more than handing
over even if it is known for certain.`,
  example: `part  arm "barrier arm"   price 150
part  hub "arm hub"       price 140
fault arm_bent   "arm bent at the root"  in arm  odds 3
fault hub_bent   "hub bent"              in hub  odds 3`,
  fixed: `part  arm "barrier arm"   price 150  spare
part  hub "arm hub"       price 140  spare
fault arm_bent   "arm bent at the root"  in arm  odds 3
fault hub_bent   "hub bent"              in hub  odds 3
test try_arm "Fit the known-good arm"  swaps arm  takes 10 min
test try_hub "Fit the known-good hub"  swaps hub  takes 10 min`,
  alongside: ["never-blamed", "inseparable"],
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const paths = likeliestPaths(model, plan)
    for (const [index, node] of plan.nodes.entries()) {
      if (node.do !== "handover" || node.reach * worthRepairing(context, node) <= WORTH_NAMING) continue
      const path = at(paths, index)
      const best = bestCure(context, node, path)
      // Where something would be trusted, handing over is a choice and not a dead end.
      if (best >= model.ruleset.trust && best > 0) continue
      const dear = context.once(dearRepairs)
      const left = causesIn(node.belief).filter(({ cured, fault }) => !cured && !dear.has(fault))
      yield diagnostic(
        "warning",
        "no-way-on",
        lastTest(model, plan, path) ?? model.complaint.span,
        `${percent(node.reach)} of the jobs are handed over after ${pathText(model, plan, path)}: no repair that is open then is likely enough.`,
        {
          labels: left.slice(0, 3).map((each) => ({
            span: at(model.faults, each.fault).span,
            text: `left with ${percent(each.chance)}`,
          })),
          help: `Left are ${listed(candidates(context, node, left))}. Add a test that tells them apart, or the repair that is missing.${unprovedNote(plan)}`,
        },
      )
    }
  },
}

/** Chance that what is wrong here is listed, and repaired for less than handing over costs. */
function worthRepairing(context: Context, { belief }: PlanNode): number {
  const dear = context.once(dearRepairs)
  return shareOf(belief, ({ faults }, left) => faults.length > 0 && !left.some((fault) => dear.has(fault)))
}

/** The likeliest of the faults that are left, and what else it can be. */
function candidates(context: Context, { belief }: PlanNode, left: readonly Cause[]): string[] {
  const { model } = context
  const dear = context.once(dearRepairs)
  const named = left
    .slice(0, 5)
    .map(({ fault, chance }) => `${backticked(at(model.faults, fault).name)} (${percent(chance)})`)
  if (left.length > 5) named.push(`${left.length - 5} more`)
  const others = {
    "faults whose repair costs more than handing over": shareOf(belief, (_, left) =>
      left.some((fault) => dear.has(fault)),
    ),
    "nothing any more": shareOf(belief, ({ faults }, left) => faults.length > 0 && left.length === 0),
    "something not listed": belief.unlisted,
  }
  for (const [what, share] of Object.entries(others)) if (share > 0) named.push(`${what} (${percent(share)})`)
  return named
}

/** Chance of those hypotheses; `left`: what is not cured of one. */
function shareOf({ hypotheses }: Belief, wanted: (each: Hypothesis, left: readonly FaultIndex[]) => boolean) {
  return hypotheses
    .filter((each) =>
      wanted(
        each,
        each.faults.filter((fault) => !each.cured.includes(fault)),
      ),
    )
    .reduce((sum, { chance }) => sum + chance, 0)
}

/** The best chance that one action which is still open leaves nothing in the machine. */
function bestCure(context: Context, node: PlanNode, path: PathToNode): number {
  const { model } = context
  const doable = context.once(doableTests)
  const open: GraphAction[] = [
    ...model.places.flatMap(({ kind }, part): GraphAction[] =>
      kind === "part" ? [{ do: node.fitted.includes(part) ? "keep" : "replace", part }] : [],
    ),
    ...model.faults.flatMap((_, fault): GraphAction[] =>
      fixWork(model, fault) === undefined ? [] : [{ do: "fix", fault }],
    ),
    ...model.tests.flatMap((_, test): GraphAction[] =>
      doable.tests[test] && !path.done.has(test) ? [{ do: "test", test }] : [],
    ),
  ]
  const chances = open
    .filter((action) => !path.repairs.has(repairKey(action) ?? ""))
    .map((action) =>
      node.belief.hypotheses.reduce((sum, each) => sum + each.chance * chanceOfCure(model, each, action), 0),
    )
  return Math.max(0, ...chances)
}

/** Where the last test on the path is declared. */
function lastTest(model: Model, plan: Plan, { steps }: PathToNode): Span | undefined {
  const tests = steps.flatMap(({ node }) => {
    const action = at(plan.nodes, node)
    return action.do === "test" ? [at(model.tests, action.test).span] : []
  })
  return tests.at(-1)
}
