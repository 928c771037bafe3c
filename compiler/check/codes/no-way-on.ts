import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { likeliestPaths, pathText, unprovedNote } from "../plan-paths.ts"
import { byRemedy, hypotheses } from "../remedies.ts"

/** A dead end that fewer jobs come to than this is not reported. */
const WORTH_NAMING = 0.01

export const noWayOn: Check = {
  code: "no-way-on",
  severity: "warning",
  ofPlan: true,
  summary: "A state of the best plan with chance above 1 % that can only be handed over.",
  explain: `Jobs end here without a verdict: no remedy is as likely as the ruleset's \`trust\` asks for, and no test is left that is
worth doing. The finding names what was found on the way and which faults are left. Add a test that tells these apart, or
a known-good part to try.`,
  example: `part  arm "barrier arm"   price 400
part  hub "arm hub"       price 380
fault arm_bent   "arm bent at the root"  in arm  odds 5
fault hub_bent   "hub bent"              in hub  odds 5`,
  fixed: `part  arm "barrier arm"   price 400  spare
part  hub "arm hub"       price 380  spare
fault arm_bent   "arm bent at the root"  in arm  odds 5
fault hub_bent   "hub bent"              in hub  odds 5
test try_arm "Fit the known-good arm"  swaps arm  takes 10 min
test try_hub "Fit the known-good hub"  swaps hub  takes 10 min`,
  alongside: ["never-blamed", "inseparable"],
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const ways = likeliestPaths(model, plan)
    for (const [index, node] of plan.nodes.entries()) {
      if (node.do !== "handover" || node.reach <= WORTH_NAMING) continue
      const left = hypotheses(node.belief)
      // Where a verdict would be trusted, handing over is a choice and not a dead end.
      if (Math.max(0, ...byRemedy(model, left).values()) >= model.ruleset.trust) continue
      const way = ways[index]!
      const names = left
        .slice(0, 5)
        .map((each) => `${backticked(model.faults[each.fault]!.name)} ${percent(each.chance)}`)
      const more = left.length > 5 ? ` and ${left.length - 5} more` : ""
      const last = way.steps.at(-1)
      const before = last === undefined ? undefined : plan.nodes[last.node]!
      const span = before?.do === "test" ? model.tests[before.test]!.span : model.complaint.span
      yield diagnostic(
        "warning",
        "no-way-on",
        span,
        `${percent(node.reach)} of the jobs can only be handed over, after ${pathText(model, plan, way)}.`,
        {
          labels: left.slice(0, 3).map((each) => ({
            span: model.faults[each.fault]!.span,
            text: `left with ${percent(each.chance)}`,
          })),
          help: `Left are ${listed(names)}${more}. Add a test that tells them apart.${unprovedNote(plan)}`,
        },
      )
    }
  },
}
