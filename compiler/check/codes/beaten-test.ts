import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import { money } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { topologicalOrder, unprovedNote } from "../plan-paths.ts"
import { blindTests } from "../proofs/blind-tests.ts"
import { doableTests, placesChanged } from "../proofs/doable-tests.ts"
import { distributionsDiffer } from "../remedies.ts"

export const beatenTest: Check = {
  code: "beaten-test",
  severity: "note",
  ofPlan: true,
  summary: "A test that the best plan never uses.",
  explain: `Other tests tell as much for less, so the plan never asks for this one. Nothing is wrong with that: it stays a way to go
when a tool is missing. If it should be used, look at its time, its costs and its risks, and at what its readings tell.`,
  example: `reading play "Play between the gear and its lock"  yes or no
test slow_look "Open the gearbox and look"  reads play  takes 90 min
when play is no  rule out gear_held`,
  fixed: `reading play "Play between the gear and its lock"  yes or no
test slow_look "Feel for play through the service hole"  reads play  takes 0.5 min
when play is no  rule out gear_held`,
  *run(context) {
    const { model, plan } = context
    if (plan === undefined) return
    const nodes = topologicalOrder(plan).map((node) => plan.nodes[node]!)
    // What lies below a branch that was not planned may use any test.
    if (nodes.some((node) => node.do === "advise")) return
    const used = new Set(nodes.flatMap((node) => (node.do === "test" ? [node.test] : [])))
    const doable = context.once(doableTests)
    const blind = new Set(blindTests(context))
    for (const [index, test] of model.tests.entries()) {
      if (used.has(index) || blind.has(index) || !doable.tests[index]) continue
      const instead = closest(model, index, used)
      const what = test.kind === "told" ? "never asks" : "never uses"
      const with_ =
        instead === undefined
          ? "its verdicts do not need it"
          : `it uses ${backticked(model.tests[instead]!.name)} (${money(model.tests[instead]!.cost, model.ruleset.money)}) instead`
      yield diagnostic(
        "note",
        "beaten-test",
        test.span,
        `The best plan ${what} ${backticked(test.name)} (${money(test.cost, model.ruleset.money)}): ${with_}.`,
        {
          ...(instead === undefined
            ? {}
            : { labels: [{ span: model.tests[instead]!.span, text: "used instead" }] }),
          ...(plan.exact ? {} : { help: unprovedNote(plan).trim() }),
        },
      )
    }
  },
}

/** The used test that bears on the most alike faults (Jaccard's index: of those that either bears on, how many both do); of equals the cheapest. */
function closest(model: Model, test: number, used: ReadonlySet<number>): number | undefined {
  const own = bearing(model, test)
  let best: { test: number; alike: number } | undefined
  for (const other of used) {
    const its = bearing(model, other)
    const shared = [...its].filter((fault) => own.has(fault)).length
    if (shared === 0) continue
    const alike = shared / (own.size + its.size - shared)
    const isCloser =
      best === undefined ||
      alike > best.alike ||
      (alike === best.alike && model.tests[other]!.cost < model.tests[best.test]!.cost)
    if (isCloser) best = { test: other, alike }
  }
  return best?.test
}

/** Faults whose chance the test can move by itself: those that it touches, shows apart, or feeds a rule about. */
function bearing(model: Model, test: number): Set<number> {
  const places = placesChanged(model, test)
  const { reads } = model.tests[test]!
  const faults = new Set<number>()
  for (const [index, fault] of model.faults.entries()) {
    const shows = reads.some((reading) => {
      const own = fault.chances[reading]
      return own !== undefined && distributionsDiffer(own, model.readings[reading]!.healthy)
    })
    if (places.has(fault.place) || shows) faults.add(index)
  }
  for (const rule of model.rules) {
    if (speaksOf(rule.condition, reads)) for (const fault of rule.out) faults.add(fault)
  }
  return faults
}

function speaksOf(condition: Model["rules"][number]["condition"], reads: readonly number[]): boolean {
  if (condition.kind === "in") return reads.includes(condition.reading)
  if (condition.kind === "not") return speaksOf(condition.item, reads)
  return condition.items.some((item) => speaksOf(item, reads))
}
