import type { Condition, Model } from "../../model/model.ts"
import type { Plan } from "../../plan/plan.ts"
import { makePlanner } from "../../plan/planner.ts"
import { Context } from "../context.ts"
import { topologicalOrder } from "../plan-paths.ts"
import { doableTests } from "./doable-tests.ts"

/** More jobs than this must not end in handing over because one test can't be done. */
export const MOST_HANDED_OVER = 0.25

/** States that each plan without a test may look into: enough to see what becomes of most jobs. */
const EFFORT = 200

export interface HungOn {
  readonly test: number
  /** Share of the jobs that end in handing over without it. */
  readonly handedOver: number
  /** Tests that can't be done without it. */
  readonly waiting: readonly number[]
  /** The plan without it was proved best. */
  readonly exact: boolean
}

/** Tests that more than a quarter of the jobs do, and without which more than a quarter end in handing over. */
export function testsHungOn(context: Context, plan: Plan): HungOn[] {
  const { model } = context
  const reach = model.tests.map(() => 0)
  for (const index of topologicalOrder(plan)) {
    const node = plan.nodes[index]!
    if (node.do === "test") reach[node.test] = reach[node.test]! + node.reach
  }
  const { tests: doable } = context.once(doableTests)
  const found: HungOn[] = []
  for (const test of model.tests.keys()) {
    if (reach[test]! <= MOST_HANDED_OVER) continue
    const without = withoutTest(model, test)
    const planner = makePlanner(without, { effort: EFFORT })
    planner.advance(Number.POSITIVE_INFINITY)
    const { expected, exact } = planner.plan()
    if (expected.handedOver <= MOST_HANDED_OVER) continue
    const left = doableTests(new Context(without)).tests
    const waiting = [...model.tests.keys()].filter((other) => other !== test && doable[other] && !left[other])
    found.push({ test, handedOver: expected.handedOver, waiting, exact })
  }
  return found
}

/** The same ruleset in which this test can never be done; what repairs cost stays as it was. */
function withoutTest(model: Model, test: number): Model {
  const never: Condition = { kind: "or", items: [], span: model.tests[test]!.span }
  const tests = model.tests.map((each, i) => (i === test ? { ...each, onlyIf: never } : each))
  return { ...model, tests }
}
