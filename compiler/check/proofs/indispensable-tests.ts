import type { Condition, Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import { makePlan } from "../../plan/planner.ts"
import type { TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { Context } from "../context.ts"
import { topologicalOrder } from "../plan-paths.ts"
import { doableTests } from "./doable-tests.ts"

/** More jobs than this must not end in handing over because one test can't be done. */
export const MOST_HANDED_OVER = 0.25

/** And so many more than with the test: where hardly fewer are handed over with it, they don't depend on it. */
const LEAST_MORE = 0.1

export interface IndispensableTest {
  readonly test: TestIndex
  /** Share of the jobs that end in handing over without it. */
  readonly handedOver: number
  /** Tests that can't be done without it. */
  readonly waiting: readonly TestIndex[]
  /** The plan without it was proved best. */
  readonly exact: boolean
}

/**
 * Tests that more than a quarter of the jobs do, and without which more than a quarter end in handing over. A rough plan
 * hands over more jobs than a good one, so where the plan without a test was not proved best, what as rough a plan with
 * all tests hands over beyond the plan given is taken off.
 */
export function indispensableTests(context: Context, plan: Plan): IndispensableTest[] {
  const { model, cannot: effort } = context
  const { tests: doable } = context.once(doableTests)
  const reach = reachOfTests(model, plan)
  let rough: number | undefined
  const excess = () => {
    rough ??= Math.max(
      0,
      makePlan(model, { effort, bare: true }).expected.handedOver - plan.expected.handedOver,
    )
    return rough
  }
  const most = Math.max(MOST_HANDED_OVER, plan.expected.handedOver + LEAST_MORE)
  const found: IndispensableTest[] = []
  for (const test of model.tests.keys()) {
    if (at(reach, test) <= MOST_HANDED_OVER) continue
    const without = withoutTest(model, test)
    const { expected, exact } = makePlan(without, { effort, bare: true })
    if (expected.handedOver <= most) continue
    const handedOver = exact ? expected.handedOver : expected.handedOver - excess()
    if (handedOver <= most) continue
    const left = doableTests(new Context(without)).tests
    const waiting = [...model.tests.keys()].filter((other) => other !== test && doable[other] && !left[other])
    found.push({ test, handedOver, waiting, exact })
  }
  return found
}

/** By test: the share of the jobs that do it; more than 1 if they do it again. */
function reachOfTests(model: Model, plan: Plan): readonly number[] {
  const reach = model.tests.map(() => 0)
  for (const index of topologicalOrder(plan)) {
    const node = at(plan.nodes, index)
    if (node.do === "test") reach[node.test] = at(reach, node.test) + node.reach
  }
  return reach
}

/** The same ruleset in which this test can never be done; what repairs cost stays as it was. */
function withoutTest(model: Model, test: TestIndex): Model {
  const never: Condition = { kind: "or", items: [], span: at(model.tests, test).span }
  const tests = model.tests.map((each, i) => (i === test ? { ...each, onlyIf: never } : each))
  return { ...model, tests }
}
