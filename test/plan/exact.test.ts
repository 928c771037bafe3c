import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanNode, PlanOptions } from "../../compiler/plan/plan.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { sketches, tiny } from "../support/models.ts"
import { evaluate, type Figures, sameFound } from "../support/policies.ts"
import { belief, perform, type State, unavoidable } from "../support/reference.ts"
import { solve, solvedModels } from "../support/solved.ts"

const exactly: PlanOptions = { gap: 0, mass: 0, effort: 50_000 }

function planned(model: Model): Plan {
  const planner = makePlanner(model, exactly)
  while (!planner.progress.done) planner.advance(1000)
  return planner.plan()
}

/** Tiny models with the least total that trying every plan finds; the same ones in every run. */
const solved = solvedModels(500).map((each) => ({
  ...each,
  name: `seed ${each.seed}`,
  plan: planned(each.model),
}))

describe("the planner against trying every plan", () => {
  test("the models are worth planning: plans use everything that can be done", () => {
    const uses = (what: (node: PlanNode) => boolean) =>
      solved.filter(({ plan }) => plan.nodes.some(what)).length
    const does = (action: PlanNode["do"]) => uses((node) => node.do === action)
    const kind = (wanted: string) =>
      solved.filter(({ plan, model }) =>
        plan.nodes.some((node) => node.do === "test" && model.tests[node.test]!.kind === wanted),
      ).length
    const counts = {
      close: does("close"),
      replace: does("replace"),
      fix: does("fix"),
      keep: does("keep"),
      putBack: does("putBack"),
      look: does("look"),
      handover: does("handover"),
      reads: kind("reads"),
      told: kind("told"),
      redoes: kind("redoes"),
      swaps: kind("swaps"),
      leftIn: uses((node) => "edges" in node && node.edges.some((edge) => edge.leaveIn)),
    }
    for (const [what, count] of Object.entries(counts)) expect(count, what).toBeGreaterThan(2)
  })

  test("no plan costs less, and the plan says that it is exact", () => {
    for (const { name, best, plan } of solved) {
      expect(plan.expected.total, name).toBeCloseTo(best, 9)
      expect(plan.lower, name).toBeCloseTo(best, 9)
      expect(plan.exact, name).toBe(true)
    }
  })

  test("what is unavoidable is what the best plan of each state costs", () => {
    for (const { name, model, plan } of solved.slice(0, 250))
      expect(plan.expected.unavoidable, name).toBeCloseTo(unavoidable(model), 9)
  })

  test("nor on models drawn and shrunk by fast-check", () => {
    fc.assert(
      fc.property(sketches(tiny), (sketch) => {
        const reference = solve(sketch)
        fc.pre(reference !== undefined)
        expect(planned(reference.model).expected.total).toBeCloseTo(reference.best, 9)
      }),
      { numRuns: 100 },
    )
  })

  test("at every stage the best total lies between the bounds, and what is said of the plan is so", () => {
    for (const { name, model, best } of solved.slice(0, 60)) {
      const planner = makePlanner(model, exactly)
      let before = planner.progress
      for (;;) {
        const now = planner.progress
        expect(now.lower, name).toBeLessThanOrEqual(best + 1e-9)
        expect(now.upper, name).toBeGreaterThanOrEqual(best - 1e-9)
        expect(now.lower, `${name}: the lower bound falls`).toBeGreaterThanOrEqual(before.lower - 1e-9)
        expect(now.upper, `${name}: the plan gets worse`).toBeLessThanOrEqual(before.upper + 1e-9)
        const plan = planner.plan()
        // What a trial found out at a state is known at once only on the way that it took there.
        expect(plan.expected.total, name).toBeLessThanOrEqual(now.upper + 1e-9)
        expect(evaluate(model, plan).total, name).toBeCloseTo(plan.expected.total, 9)
        if (now.done) break
        before = now
        planner.advance(Math.max(1, now.expanded))
      }
    }
  })
})

describe("the plan against the reference, path by path", () => {
  test("beliefs, eliminations, reach and every expectation are the reference's", () => {
    for (const { name, model, plan } of solved) {
      const reach = plan.nodes.map(() => 0)
      const expected = evaluate(model, plan, (index, state, chance) => {
        const node = plan.nodes[index]!
        reach[index]! += chance
        expectBelief(model, node, state, name)
        if ("edges" in node) expectRuledOut(model, node, state, name)
      })
      for (const key of Object.keys(expected) as (keyof Figures)[])
        expect(plan.expected[key], `${name}: ${key}`).toBeCloseTo(expected[key], 9)
      expectAll(
        plan.nodes.map((node) => node.reach),
        reach,
        name,
      )
      expect(plan.nodes[plan.start]!.costToGo, name).toBeCloseTo(expected.total, 9)
    }
  })

  function expectBelief(model: Model, { belief: given, fitted }: PlanNode, state: State, name: string): void {
    const wanted = belief(model, state)
    expectAll(given.present, wanted.present, name)
    expectAll(given.active, wanted.active, name)
    expect(given.unlisted, name).toBeCloseTo(wanted.unlisted, 9)
    expect([...fitted].sort(), name).toEqual([...state.fitted.keys()].sort())
    expect(
      given.hypotheses.reduce((sum, { chance }) => sum + chance, 0),
      name,
    ).toBeCloseTo(1, 9)
  }

  /** What an edge says is ruled out could be present before and can't be after. */
  function expectRuledOut(
    model: Model,
    node: Extract<PlanNode, { edges: unknown }>,
    state: State,
    name: string,
  ): void {
    const leaveIn = node.edges.some((edge) => edge.leaveIn)
    const before = belief(model, state).present
    for (const next of perform(model, state, { ...node, leaveIn }).outcomes) {
      if (next.on === "holds") continue
      const edge = node.edges.find((each) => sameFound(each.on, next.on))!
      const after = belief(model, next.state).present
      const out = before.flatMap((chance, fault) => (chance > 0 && after[fault] === 0 ? [fault] : []))
      expect([...edge.rulesOut].sort(), name).toEqual(out)
    }
  }

  function expectAll(given: ArrayLike<number>, wanted: readonly number[], name: string): void {
    expect(given.length, name).toBe(wanted.length)
    for (const [i, value] of wanted.entries()) expect(given[i], name).toBeCloseTo(value, 9)
  }
})
