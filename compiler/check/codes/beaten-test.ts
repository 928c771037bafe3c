import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { FaultIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { money, percent } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import type { Context } from "../context.ts"
import { distributionsDiffer } from "../distributions.ts"
import { readingsOf } from "../logic/formula.ts"
import { topologicalOrder, unprovedNote } from "../plan-paths.ts"
import { blindTests } from "../proofs/blind-tests.ts"
import { doableTests, touches } from "../proofs/doable-tests.ts"

/** A plan that leaves more jobs than this to the runner says too little about what it never uses. */
const MOST_UNPLANNED = 0.01

export const beatenTest: Check = {
  code: "beaten-test",
  severity: "note",
  ofPlan: true,
  summary: "A test that the best plan never uses.",
  explain: `Other tests tell as much for less, so the plan never asks for this one. That isn't a mistake: it stays a way on when a tool
is missing. If it should be used, look at its time, its costs and its risks, and at what its readings tell. In the
example a rule on a reading that is taken anyway does its work.`,
  example: `reading play "Play between the gear and its lock"  yes or no
test slow_look "Open the gearbox and look"  reads play  takes 90 min
when play is no  rule out gear_held`,
  fixed: `when hum is no  rule out gear_held`,
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const nodes = topologicalOrder(plan).map((node) => at(plan.nodes, node))
    // What lies below a branch that was not planned may use any test.
    const unplanned = nodes.reduce((sum, node) => sum + (node.do === "advise" ? node.reach : 0), 0)
    if (unplanned > MOST_UNPLANNED) return
    const used = new Set(nodes.flatMap((node) => (node.do === "test" ? [node.test] : [])))
    const doable = context.once(doableTests)
    const blind = new Set(blindTests(context))
    for (const [index, test] of model.tests.entries()) {
      if (used.has(index) || blind.has(index) || !doable.tests[index]) continue
      const instead = closest(context, index, used)
      const what = test.kind === "told" ? "never asks" : "never uses"
      const with_ =
        instead === undefined
          ? "it does without"
          : `it uses ${backticked(at(model.tests, instead).name)} (${money(at(model.tests, instead).cost, model.ruleset.money)}) instead`
      const rest =
        unplanned > 0 ? ` (${percent(unplanned)} of the jobs are not planned ahead and may use it.)` : ""
      const help = `${unprovedNote(plan)}${rest}`.trim()
      yield diagnostic(
        "note",
        "beaten-test",
        test.span,
        `The best plan ${what} ${backticked(test.name)} (${money(test.cost, model.ruleset.money)}): ${with_}.`,
        {
          ...(instead === undefined
            ? {}
            : { labels: [{ span: at(model.tests, instead).span, text: "used instead" }] }),
          ...(help === "" ? {} : { help }),
        },
      )
    }
  },
}

/** The used test that bears on the most alike faults (Jaccard's index: of those that either bears on, how many both do); of equals the cheapest. */
function closest(context: Context, test: TestIndex, used: ReadonlySet<TestIndex>): TestIndex | undefined {
  const { model } = context
  const own = bearing(context, test)
  let best: { test: TestIndex; alike: number } | undefined
  for (const other of used) {
    const its = bearing(context, other)
    const shared = [...its].filter((fault) => own.has(fault)).length
    if (shared === 0) continue
    const alike = shared / (own.size + its.size - shared)
    const isCloser =
      best === undefined ||
      alike > best.alike ||
      (alike === best.alike && at(model.tests, other).cost < at(model.tests, best.test).cost)
    if (isCloser) best = { test: other, alike }
  }
  return best?.test
}

/** Faults whose chance the test can move by itself: those that it touches, shows apart, or feeds a rule about. */
function bearing({ model, eliminations }: Context, test: TestIndex): Set<FaultIndex> {
  const { reads } = at(model.tests, test)
  const faults = new Set<FaultIndex>()
  for (const [index, fault] of model.faults.entries()) {
    const shows = reads.some((reading) => {
      const own = fault.chances[reading]
      return own !== undefined && distributionsDiffer(own, at(model.readings, reading).healthy)
    })
    if (shows || touches(model, at(model.tests, test), index)) faults.add(index)
  }
  for (const { formula, out, rule } of eliminations) {
    if (rule === undefined || !readingsOf(formula).some((reading) => reads.includes(reading))) continue
    for (const fault of out) faults.add(fault)
  }
  return faults
}
