import type { Model } from "../../model/model.ts"
import type { Plan, PlanNode } from "../../plan/plan.ts"
import type { Context } from "../context.ts"
import { differ, distributionsDiffer } from "../distributions.ts"
import { edgesOf, firstCommitments, likeliestPaths, type PathToNode } from "../plan-paths.ts"
import { actionCures, type Cause, causesIn, chanceOfGone, distribution, remedyOf } from "../remedies.ts"
import { doableTests, touches } from "./doable-tests.ts"

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
  /** Causes that nothing tells apart before the plan commits itself, the likeliest first, with their shares of the `gone`. */
  readonly causes: readonly Cause[]
  /** Where the plan repairs or closes without knowing which of them it was; the node that most of the jobs come to. */
  readonly commitment: number
  readonly separators: readonly Separator[]
}

export interface Separator {
  readonly test: number
  /** The part to be put back, for `put back`. */
  readonly part?: number
  readonly how: "put back" | "after" | "before"
}

/**
 * Steps of the plan after whose `gone` two causes with different remedies keep their ratio until the plan repairs or
 * closes, on every path that it can take from there, while what it does then is right for one of them and not for the
 * other. One per test: where a job gets to most often.
 */
export function confoundings(context: Context, plan: Plan): Confounding[] {
  const { model } = context
  const found = new Map<number, Confounding>()
  const paths = likeliestPaths(model, plan)
  for (const [node, here] of plan.nodes.entries()) {
    if (here.do !== "test" || here.reach <= 0) continue
    const gone = edgesOf(here).find(({ on }) => on === "gone")?.to
    if (gone === undefined) continue
    const before = found.get(here.test)
    if (before !== undefined && plan.nodes[before.node]!.reach >= here.reach) continue
    const mixed = unseparated(model, plan, here.test, gone)
    if (mixed === undefined) continue
    const separators = separatorsOf(
      context,
      plan,
      { node, gone, path: paths[node]! },
      here.test,
      mixed.causes,
    )
    found.set(here.test, { test: here.test, node, gone, ...mixed, separators })
  }
  return [...found.values()]
}

function unseparated(model: Model, plan: Plan, step: number, gone: number) {
  const test = model.tests[step]!
  const causes = causesIn(plan.nodes[gone]!.belief).filter(
    ({ fault, chance }) => chance > WORTH_NAMING && touches(model, test, fault),
  )
  if (new Set(causes.map((cause) => remedyOf(model, cause))).size < 2) return undefined
  const commitments = [...firstCommitments(plan, gone)].map(([node, reach]) => {
    const { belief } = plan.nodes[node]!
    return { node, reach, shares: new Map(causesIn(belief).map((each) => [each.fault, each])) }
  })
  const guesses = new Map<number, number>()
  const together = (a: Cause, b: Cause): boolean => {
    const guessed: typeof commitments = []
    for (const commitment of commitments) {
      const [x, y] = [commitment.shares.get(a.fault), commitment.shares.get(b.fault)]
      if (x === undefined && y === undefined) continue
      if (x === undefined || y === undefined || differ((x.chance * b.chance) / (y.chance * a.chance), 1))
        return false
      if (isGuess(model, plan.nodes[commitment.node]!, x, y)) guessed.push(commitment)
    }
    for (const { node, reach } of guessed) guesses.set(node, reach)
    return guessed.length > 0
  }
  const mixed = causes.filter((a) =>
    causes.some((b) => remedyOf(model, a) !== remedyOf(model, b) && together(a, b)),
  )
  const [commitment] = [...guesses].sort((a, b) => b[1] - a[1])
  return commitment === undefined || mixed.length < 2
    ? undefined
    : { causes: mixed, commitment: commitment[0] }
}

/** Does the plan do something here that is right for one cause and not for the other? */
function isGuess(model: Model, action: PlanNode, a: Cause, b: Cause): boolean {
  if (action.do === "close") return a.cured !== b.cured
  const helps = (cause: Cause) => !cause.cured && actionCures(model, action, cause.fault) > 0
  return helps(a) !== helps(b)
}

/** What would tell the first cause from one of another remedy, each alone in the machine: now, or done before the step. The cheapest first. */
function separatorsOf(
  context: Context,
  plan: Plan,
  { node, gone, path }: { node: number; gone: number; path: PathToNode },
  step: number,
  causes: readonly Cause[],
): Separator[] {
  const { model } = context
  const doable = context.once(doableTests)
  const [first] = causes as [Cause]
  const other = causes.find((cause) => remedyOf(model, cause) !== remedyOf(model, first))!
  const fittedBefore = new Set(plan.nodes[node]!.fitted)
  const fittedAfter = new Set(plan.nodes[gone]!.fitted)
  // As they were before the step: nothing cured yet by it.
  const [a, b] = [first, other].map((cause) => ({
    ...cause,
    cured: cause.cured && !touches(model, model.tests[step]!, cause.fault),
  })) as [Cause, Cause]
  const ways: Separator[] = []
  for (const [index, test] of model.tests.entries()) {
    if (!doable.tests[index]) continue
    const done = index === step || path.done.has(index)
    if (test.kind === "swaps" && done)
      for (const part of test.parts) {
        if (!fittedAfter.has(part)) continue
        const fitted = new Set(fittedAfter)
        fitted.delete(part)
        if (goneDiffers(model, index, fitted, first, other)) ways.push({ test: index, part, how: "put back" })
      }
    if (!done && separates(model, index, fittedAfter, first, other)) ways.push({ test: index, how: "after" })
    else if (!done && separates(model, index, fittedBefore, a, b)) ways.push({ test: index, how: "before" })
  }
  const rank = { "put back": 0, after: 0, before: 1 }
  return ways.sort(
    (x, y) => rank[x.how] - rank[y.how] || model.tests[x.test]!.cost - model.tests[y.test]!.cost,
  )
}

function separates(model: Model, test: number, fitted: ReadonlySet<number>, a: Cause, b: Cause): boolean {
  const { kind, reads, parts } = model.tests[test]!
  if (kind === "reads" || kind === "told") {
    return reads.some((reading) =>
      distributionsDiffer(distribution(model, a, reading, fitted), distribution(model, b, reading, fitted)),
    )
  }
  if (kind === "redoes") return goneDiffers(model, test, fitted, a, b)
  if (parts.some((part) => fitted.has(part))) return false
  return goneDiffers(model, test, kind === "swaps" ? new Set([...fitted, ...parts]) : fitted, a, b)
}

function goneDiffers(model: Model, test: number, fitted: ReadonlySet<number>, a: Cause, b: Cause): boolean {
  const work = model.tests[test]!
  return differ(chanceOfGone(model, a, work, fitted), chanceOfGone(model, b, work, fitted))
}
