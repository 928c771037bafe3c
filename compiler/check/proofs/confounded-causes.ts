import type { Model } from "../../model/model.ts"
import type { Plan, PlanNode } from "../../plan/plan.ts"
import type { NodeIndex, PlaceIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
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

/** A step whose `gone` misleads the plan in fewer jobs than this is not reported. */
const FEWEST_MISLED = 0.01

export interface Confounding {
  readonly test: TestIndex
  /** The node at which the test is done, and the one that its `gone` leads to. */
  readonly node: NodeIndex
  readonly gone: NodeIndex
  /** Causes that nothing tells apart before the plan commits itself, the likeliest first, with their shares of the `gone`. */
  readonly causes: readonly Cause[]
  /** Where the plan repairs or closes without knowing which of them it was; the node that most of the jobs come to. */
  readonly commitment: NodeIndex
  readonly separators: readonly Separator[]
}

export interface Separator {
  readonly test: TestIndex
  /** The part to be put back, for `put back`. */
  readonly part?: PlaceIndex
  readonly how: "put back" | "after" | "before"
}

/**
 * Steps of the plan after whose `gone` two causes with different remedies keep their ratio until the plan repairs or
 * closes, on every path that it can take from there, while what it does then is right for one of them and not for the
 * other. One per test: where a job gets to most often.
 */
export function confoundings(context: Context, plan: Plan): Confounding[] {
  const { model } = context
  const found = new Map<TestIndex, { node: NodeIndex; gone: NodeIndex; mixed: Mixed; misled: number }>()
  for (const [node, here] of plan.nodes.entries()) {
    if (here.do !== "test" || here.reach <= 0) continue
    const edge = edgesOf(here).find(({ on }) => on === "gone")
    if (edge?.to === undefined) continue
    const mixed = unseparated(model, plan, here.test, edge.to)
    if (mixed === undefined) continue
    const before = found.get(here.test)
    const misled = (before?.misled ?? 0) + here.reach * edge.chance * mixed.misled
    const isMain = before === undefined || here.reach > at(plan.nodes, before.node).reach
    found.set(here.test, isMain ? { node, gone: edge.to, mixed, misled } : { ...before, misled })
  }
  const paths = likeliestPaths(model, plan)
  return [...found]
    .filter(([, { misled }]) => misled > FEWEST_MISLED)
    .map(
      ([
        test,
        {
          node,
          gone,
          mixed: { causes, commitment },
        },
      ]) => {
        const separators = separatorsOf(context, plan, { node, gone, path: at(paths, node) }, test, causes)
        return { test, node, gone, causes, commitment, separators }
      },
    )
}

interface Mixed {
  readonly causes: readonly Cause[]
  readonly commitment: NodeIndex
  /** Of the jobs that found `gone`, those for which the plan does something that is wrong for the cause they have. */
  readonly misled: number
}

function unseparated(model: Model, plan: Plan, step: TestIndex, gone: NodeIndex): Mixed | undefined {
  const causes = causesOf(model, step, at(plan.nodes, gone)).filter(({ chance }) => chance > WORTH_NAMING)
  if (new Set(causes.map((cause) => remedyOf(model, cause))).size < 2) return undefined
  const commitments = [...firstCommitments(plan, gone)].map(([node, reach]) => {
    const here = at(plan.nodes, node)
    return {
      node,
      reach,
      here,
      shares: new Map(causesOf(model, step, here).map((each) => [each.fault, each])),
    }
  })
  const guesses = new Map<NodeIndex, (typeof commitments)[number]>()
  const together = (a: Cause, b: Cause): boolean => {
    const guessed: typeof commitments = []
    for (const commitment of commitments) {
      const [x, y] = [commitment.shares.get(a.fault), commitment.shares.get(b.fault)]
      if (x === undefined && y === undefined) continue
      if (x === undefined || y === undefined || differ((x.chance * b.chance) / (y.chance * a.chance), 1))
        return false
      if (isRight(model, commitment.here, x) !== isRight(model, commitment.here, y)) guessed.push(commitment)
    }
    for (const each of guessed) guesses.set(each.node, each)
    return guessed.length > 0
  }
  const mixed = causes.filter((a) =>
    causes.some((b) => remedyOf(model, a) !== remedyOf(model, b) && together(a, b)),
  )
  const [commitment] = [...guesses.values()].sort((a, b) => b.reach - a.reach)
  if (commitment === undefined || mixed.length < 2) return undefined
  const misled = [...guesses.values()].map(({ reach, here, shares }) => {
    const wrong = mixed
      .flatMap(({ fault }) => shares.get(fault) ?? [])
      .filter((each) => !isRight(model, here, each))
    return reach * wrong.reduce((sum, { chance }) => sum + chance, 0)
  })
  return { causes: mixed, commitment: commitment.node, misled: misled.reduce((sum, each) => sum + each, 0) }
}

/**
 * What the step changed and what by itself explains the `gone`, with its share: of two faults that the step both
 * changed, neither is the cause alone, and whatever is done about them is right.
 */
function causesOf(model: Model, step: TestIndex, { belief }: PlanNode): Cause[] {
  const test = at(model.tests, step)
  const hypotheses = belief.hypotheses
    .map((each) => ({ ...each, faults: each.faults.filter((fault) => touches(model, test, fault)) }))
    .filter(({ faults }) => faults.length === 1)
  return causesIn({ ...belief, hypotheses })
}

/** Is what the plan does here right for this cause? */
function isRight(model: Model, action: PlanNode, { fault, cured }: Cause): boolean {
  return action.do === "close" ? cured : !cured && actionCures(model, action, fault) > 0
}

/** What would tell the first cause from one of another remedy, each alone in the machine: now, or done before the step. The cheapest first. */
function separatorsOf(
  context: Context,
  plan: Plan,
  { node, gone, path }: { node: NodeIndex; gone: NodeIndex; path: PathToNode },
  step: TestIndex,
  causes: readonly Cause[],
): Separator[] {
  const { model } = context
  const doable = context.once(doableTests)
  const first = at(causes, 0)
  const other = causes.find((cause) => remedyOf(model, cause) !== remedyOf(model, first))
  if (other === undefined) return []
  const fittedBefore = new Set(at(plan.nodes, node).fitted)
  const fittedAfter = new Set(at(plan.nodes, gone).fitted)
  // As they were before the step: nothing cured yet by it.
  const before = (cause: Cause): Cause => ({
    ...cause,
    cured: cause.cured && !touches(model, at(model.tests, step), cause.fault),
  })
  const [a, b] = [before(first), before(other)]
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
    (x, y) => rank[x.how] - rank[y.how] || at(model.tests, x.test).cost - at(model.tests, y.test).cost,
  )
}

function separates(
  model: Model,
  test: TestIndex,
  fitted: ReadonlySet<PlaceIndex>,
  a: Cause,
  b: Cause,
): boolean {
  const { kind, reads, parts } = at(model.tests, test)
  if (kind === "reads" || kind === "told") {
    return reads.some((reading) =>
      distributionsDiffer(distribution(model, a, reading, fitted), distribution(model, b, reading, fitted)),
    )
  }
  if (kind === "redoes") return goneDiffers(model, test, fitted, a, b)
  if (parts.some((part) => fitted.has(part))) return false
  return goneDiffers(model, test, kind === "swaps" ? new Set([...fitted, ...parts]) : fitted, a, b)
}

function goneDiffers(
  model: Model,
  test: TestIndex,
  fitted: ReadonlySet<PlaceIndex>,
  a: Cause,
  b: Cause,
): boolean {
  const work = at(model.tests, test)
  return differ(chanceOfGone(model, a, work, fitted), chanceOfGone(model, b, work, fitted))
}
