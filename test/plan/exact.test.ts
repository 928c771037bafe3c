import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanNode, PlanOptions } from "../../compiler/plan/plan.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { seeded, sketches, sketchFrom, tiny } from "../support/models.ts"
import { bestTotal, evaluate, policyOfPlan, sameFound } from "../support/policies.ts"
import { belief, outcomes, type State } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

const exactly: PlanOptions = { gap: 0, mass: 0, effort: 1_000_000 }

function planned(model: Model): Plan {
  const planner = makePlanner(model, exactly)
  while (!planner.progress.done) planner.advance(1000)
  return planner.plan()
}

/** Tiny models with the least total that trying every policy finds; the same ones in every run. */
const solved = Array.from({ length: 500 }, (_, i) => i + 1).map((seed) => {
  const model = modelOf(sketchFrom(seeded(seed), tiny))
  return { seed: `seed ${seed}`, model, best: bestTotal(model), plan: planned(model) }
})

describe("the planner against trying every policy", () => {
  test("the models are worth planning: many call for tests, some for putting back", () => {
    const uses = (what: (node: PlanNode) => boolean) =>
      solved.filter(({ plan }) => plan.nodes.some(what)).length
    expect(
      solved.filter(({ model, best }) => best > 0 && best < model.ruleset.handover).length,
    ).toBeGreaterThan(200)
    expect(uses((node) => node.do === "test")).toBeGreaterThan(150)
    expect(uses((node) => node.do === "test" && node.putBack)).toBeGreaterThan(10)
    expect(uses((node) => node.do === "handover")).toBeGreaterThan(20)
  })

  test("no policy costs less, and the plan says that it is exact", () => {
    for (const { seed, best, plan } of solved) {
      expect(plan.expected.total, seed).toBeCloseTo(best, 9)
      expect(plan.lower, seed).toBeCloseTo(best, 9)
      expect(plan.exact, seed).toBe(true)
    }
  })

  // Found by a wider search than this one: a look that tells nothing but opens the way to another test.
  test.each([947, 1336, 1542, 1782, 2916, 3635, 3702])("nor at seed %i, where it once did", (seed) => {
    const model = modelOf(sketchFrom(seeded(seed), tiny))
    expect(planned(model).expected.total).toBeCloseTo(bestTotal(model), 9)
  })

  test("nor on models drawn and shrunk by fast-check", () => {
    fc.assert(
      fc.property(sketches(tiny), (sketch) => {
        const model = modelOf(sketch)
        expect(planned(model).expected.total).toBeCloseTo(bestTotal(model), 9)
      }),
      { numRuns: 100 },
    )
  })

  test("at every stage the best total lies between the bounds, and what is said of the plan is so", () => {
    for (const { seed, model, best } of solved.slice(0, 200)) {
      const planner = makePlanner(model, exactly)
      let before = planner.progress
      for (;;) {
        const now = planner.progress
        expect(now.lower, seed).toBeLessThanOrEqual(best + 1e-9)
        expect(now.upper, seed).toBeGreaterThanOrEqual(best - 1e-9)
        expect(now.lower, `${seed}: the lower bound falls`).toBeGreaterThanOrEqual(before.lower - 1e-9)
        expect(now.upper, `${seed}: the plan gets worse`).toBeLessThanOrEqual(before.upper + 1e-9)
        const plan = planner.plan()
        expect(plan.expected.total, seed).toBeCloseTo(now.upper, 9)
        expect(evaluate(model, policyOfPlan(plan)).total, seed).toBeCloseTo(now.upper, 9)
        if (now.done) break
        before = now
        planner.advance(1)
      }
    }
  })
})

describe("the plan against the reference, path by path", () => {
  test("beliefs, eliminations, reach and expectations are the reference's", () => {
    for (const { seed, model, plan } of solved) {
      const reach = plan.nodes.map(() => 0)
      const expected = evaluate(model, policyOfPlan(plan), (index, state, chance) => {
        const node = plan.nodes[index]!
        reach[index]! += chance
        const here = belief(model, state)
        expectAll(node.belief.uncured, here.uncured, seed)
        expectAll(node.belief.cured, here.cured, seed)
        if (node.do === "test") expectRuledOut(model, node, state, seed)
      })
      for (const key of ["total", "tests", "minutes", "steps", "wrong", "handover"] as const) {
        expect(plan.expected[key], `${seed}: ${key}`).toBeCloseTo(expected[key], 9)
      }
      const nodes = plan.nodes.map((node) => node.reach)
      expectAll(nodes, reach, seed)
      expect(plan.nodes[plan.start]!.costToGo, seed).toBeCloseTo(expected.total, 9)
    }
  })

  /** What an edge says is ruled out had weight before and has none after. */
  function expectRuledOut(model: Model, node: PlanNode & { do: "test" }, state: State, seed: string): void {
    const weight = (at: State, fault: number) => {
      const { uncured, cured } = belief(model, at)
      return uncured[fault]! + cured[fault]!
    }
    for (const next of outcomes(model, state, node)) {
      const edge = node.edges.find((each) => sameFound(each.outcome, next.found))!
      const faults = model.faults.map((_, fault) => fault)
      const out = faults.filter((fault) => weight(state, fault) > 0 && weight(next.state, fault) === 0)
      expect([...edge.rulesOut].sort(), seed).toEqual(out)
    }
  }

  function expectAll(given: ArrayLike<number>, wanted: readonly number[], seed: string): void {
    expect(given.length, seed).toBe(wanted.length)
    for (const [i, value] of wanted.entries()) expect(given[i], seed).toBeCloseTo(value, 9)
  }
})
