import type { Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import type { Context } from "../context.ts"
import { endNodes, likeliestPaths, type PathToNode } from "../plan-paths.ts"
import {
  chanceOfGone,
  differ,
  distribution,
  distributionsDiffer,
  type Hypothesis,
  hypotheses,
  mends,
  remedyOf,
} from "../remedies.ts"
import { doableTests, placesChanged } from "./doable-tests.ts"

/**
 * A cause that explains less of the `gone` than one time in twenty is not worth a warning; and only what the step itself
 * changed is a cause of it. A fault elsewhere that comes and goes and just stayed away is the proof run's matter.
 */
const WORTH_NAMING = 0.05

export interface Confounding {
  readonly test: number
  /** The node at which the test is done, and the one that its `gone` leads to. */
  readonly node: number
  readonly gone: number
  /** Causes that nothing later tells apart, the likeliest first, with their shares of the `gone`. */
  readonly causes: readonly Hypothesis[]
  readonly separators: readonly Separator[]
}

export interface Separator {
  readonly test: number
  readonly how: "put back" | "after" | "before"
}

/**
 * Steps of the plan after whose `gone` two causes with different remedies stay in the ratio that they have, at every end
 * that the plan can come to from there, while a verdict there mends one of them and not the other. One per test: where a
 * job gets to most often.
 */
export function confoundings(context: Context, plan: Plan): Confounding[] {
  const { model } = context
  const found = new Map<number, Confounding>()
  const ways = likeliestPaths(model, plan)
  for (const [node, here] of plan.nodes.entries()) {
    if (here.do !== "test" || here.putBack || here.reach <= 0) continue
    const edge = here.edges.find(({ outcome }) => outcome === "gone")
    if (edge === undefined) continue
    const before = found.get(here.test)
    if (before !== undefined && plan.nodes[before.node]!.reach >= here.reach) continue
    const causes = unseparated(model, plan, here.test, edge.to)
    if (causes.length < 2) continue
    const separators = separatorsOf(context, ways[node]!, ways[edge.to]!, here.test, causes)
    found.set(here.test, { test: here.test, node, gone: edge.to, causes, separators })
  }
  return [...found.values()]
}

/** By fault, since a later step may cure one: its share, and the flag that has most of it. */
function causesAt(plan: Plan, node: number): Hypothesis[] {
  const byFault = new Map<number, Hypothesis>()
  for (const each of hypotheses(plan.nodes[node]!.belief)) {
    const before = byFault.get(each.fault)
    // The likeliest flag comes first.
    byFault.set(each.fault, before === undefined ? each : { ...before, chance: before.chance + each.chance })
  }
  return [...byFault.values()].sort((a, b) => b.chance - a.chance)
}

function unseparated(model: Model, plan: Plan, step: number, gone: number): Hypothesis[] {
  const changed = placesChanged(model, step)
  const causes = causesAt(plan, gone).filter(
    ({ fault, chance }) => chance > WORTH_NAMING && changed.has(model.faults[fault]!.place),
  )
  if (new Set(causes.map((cause) => remedyOf(model, cause))).size < 2) return []
  const ends = endNodes(plan, gone).map((end) => {
    const chances = new Map(causesAt(plan, end).map((each) => [each.fault, each]))
    return { node: plan.nodes[end]!, chances }
  })
  const together = (a: Hypothesis, b: Hypothesis): boolean => {
    let guessed = false
    for (const { node, chances } of ends) {
      const [x, y] = [chances.get(a.fault), chances.get(b.fault)]
      if (x === undefined && y === undefined) continue
      if (x === undefined || y === undefined || differ((x.chance * b.chance) / (y.chance * a.chance), 1))
        return false
      if (node.do === "verdict" && mends(model, node.remedy, x) !== mends(model, node.remedy, y))
        guessed = true
    }
    return guessed
  }
  return causes.filter((a) => causes.some((b) => remedyOf(model, a) !== remedyOf(model, b) && together(a, b)))
}

/** What would tell the first cause from one of another remedy: now, or done before the step. The cheapest first. */
function separatorsOf(
  context: Context,
  before: PathToNode,
  after: PathToNode,
  step: number,
  causes: readonly Hypothesis[],
): Separator[] {
  const { model } = context
  const doable = context.once(doableTests)
  const [first] = causes as [Hypothesis]
  const other = causes.find((cause) => remedyOf(model, cause) !== remedyOf(model, first))!
  const ways: Separator[] = []
  for (const [index, test] of model.tests.entries()) {
    if (!doable.tests[index]) continue
    if (test.part !== undefined && after.used.has(index) && after.fitted.has(test.part)) {
      const fitted = new Set(after.fitted)
      fitted.delete(test.part)
      if (goneDiffers(model, index, fitted, first, other)) ways.push({ test: index, how: "put back" })
    }
    if (!after.used.has(index) && separates(model, index, after.fitted, first, other))
      ways.push({ test: index, how: "after" })
    else if (index !== step && !before.used.has(index)) {
      // As they were before the step: nothing cured yet by it.
      const [a, b] = [first, other].map((cause) => ({
        ...cause,
        cured: cause.cured && !placesChanged(model, step).has(model.faults[cause.fault]!.place),
      })) as [Hypothesis, Hypothesis]
      if (separates(model, index, before.fitted, a, b)) ways.push({ test: index, how: "before" })
    }
  }
  const rank = { "put back": 0, after: 0, before: 1 }
  return ways.sort(
    (a, b) => rank[a.how] - rank[b.how] || model.tests[a.test]!.cost - model.tests[b.test]!.cost,
  )
}

function separates(
  model: Model,
  test: number,
  fitted: ReadonlySet<number>,
  a: Hypothesis,
  b: Hypothesis,
): boolean {
  const { kind, reads, part } = model.tests[test]!
  if (kind === "reads" || kind === "told") {
    return reads.some((reading) =>
      distributionsDiffer(distribution(model, a, reading, fitted), distribution(model, b, reading, fitted)),
    )
  }
  if (part !== undefined && fitted.has(part)) return false
  return goneDiffers(model, test, part === undefined ? fitted : new Set(fitted).add(part), a, b)
}

function goneDiffers(
  model: Model,
  test: number,
  fitted: ReadonlySet<number>,
  a: Hypothesis,
  b: Hypothesis,
): boolean {
  const { redoes, tries } = model.tests[test]!
  const redone = new Map(redoes.map(({ setup, cures }) => [setup, cures]))
  return differ(chanceOfGone(model, a, redone, fitted, tries), chanceOfGone(model, b, redone, fitted, tries))
}
