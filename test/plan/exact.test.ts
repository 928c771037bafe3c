import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanOptions } from "../../compiler/plan/plan.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { seeded, sketches, sketchFrom, tiny } from "../support/models.ts"
import { bestTotal, evaluate, policyOfPlan } from "../support/policies.ts"
import { belief, outcomes, start } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

const exactly: PlanOptions = { gap: 0, mass: 0, effort: 10_000_000 }

function planned(model: Model): Plan {
  const planner = makePlanner(model, exactly)
  while (!planner.progress.done) planner.advance(1000)
  return planner.plan()
}

/** Tiny models with the least total that trying every policy finds; the same ones in every run. */
const solved = Array.from({ length: 400 }, (_, i) => i + 1).map((seed) => {
  const model = modelOf(sketchFrom(seeded(seed), tiny))
  return { seed, model, best: bestTotal(model) }
})

describe("the planner against trying every policy", () => {
  test("the models are worth planning: most call for tests, some for putting back", () => {
    const choices = solved.filter(({ model, best }) => best > 0 && best < model.ruleset.handover)
    const putsBack = solved.filter(({ model }) =>
      planned(model).nodes.some((node) => node.do === "test" && node.putBack),
    )
    expect(choices.length).toBeGreaterThan(200)
    expect(putsBack.length).toBeGreaterThan(10)
  })

  test.each(solved)("seed $seed costs what the best policy costs", ({ model, best }) => {
    const plan = planned(model)
    expect(plan.expected.total).toBeCloseTo(best, 9)
    expect(plan.exact).toBe(true)
    expect(plan.lower).toBeCloseTo(best, 9)
  })

  test("drawn and shrunk by fast-check", () => {
    fc.assert(
      fc.property(sketches(tiny), (sketch) => {
        const model = modelOf(sketch)
        expect(planned(model).expected.total).toBeCloseTo(bestTotal(model), 9)
      }),
      { numRuns: 100 },
    )
  })

  test.each(solved.slice(0, 150))("seed $seed is bracketed at every stage", ({ model, best }) => {
    const planner = makePlanner(model, exactly)
    let { lower, upper } = { lower: Number.NEGATIVE_INFINITY, upper: Number.POSITIVE_INFINITY }
    for (;;) {
      const now = planner.progress
      expect(now.lower).toBeLessThanOrEqual(best + 1e-9)
      expect(now.upper).toBeGreaterThanOrEqual(best - 1e-9)
      expect(now.lower, "the lower bound never falls").toBeGreaterThanOrEqual(lower - 1e-9)
      expect(now.upper, "the best plan never gets worse").toBeLessThanOrEqual(upper + 1e-9)
      const plan = planner.plan()
      expect(plan.expected.total).toBeCloseTo(now.upper, 9)
      expect(evaluate(model, policyOfPlan(plan)).total).toBeCloseTo(now.upper, 9)
      if (now.done) break
      ;({ lower, upper } = now)
      planner.advance(1)
    }
    expect(upper === Number.POSITIVE_INFINITY || planner.progress.upper <= upper + 1e-9).toBe(true)
    expect(planner.progress.upper).toBeCloseTo(best, 9)
  })
})

describe("the plan against the reference, path by path", () => {
  test.each(solved)("seed $seed", ({ model }) => {
    const plan = planned(model)
    const reach = plan.nodes.map(() => 0)
    const expected = evaluate(model, policyOfPlan(plan), (index, state, chance) => {
      const node = plan.nodes[index]!
      reach[index]! += chance
      const { uncured, cured } = belief(model, state)
      expectAll(node.belief.uncured, uncured)
      expectAll(node.belief.cured, cured)
      if (node.do === "test") {
        const here = outcomes(model, state, { test: node.test, putBack: node.putBack })
        for (const edge of node.edges) {
          const next = here.find(({ found }) => String(found) === String(edge.outcome))!
          const after = belief(model, next.state)
          const gone = model.faults
            .map((_, fault) => fault)
            .filter((f) => uncured[f]! + cured[f]! > 0 && after.uncured[f]! + after.cured[f]! === 0)
          expect([...edge.rulesOut].sort()).toEqual(gone.sort())
        }
      }
    })
    for (const key of ["total", "tests", "minutes", "steps", "wrong", "handover"] as const) {
      expect(plan.expected[key], key).toBeCloseTo(expected[key], 9)
    }
    expectAll(
      plan.nodes.map((node) => node.reach),
      reach,
    )
    expect(plan.nodes[plan.start]!.costToGo).toBeCloseTo(expected.total, 9)
    expectAll(plan.nodes[plan.start]!.belief.uncured, belief(model, start(model)).uncured)
  })
})

function expectAll(given: ArrayLike<number>, wanted: readonly number[]): void {
  expect(given.length).toBe(wanted.length)
  for (const [i, value] of wanted.entries()) expect(given[i]).toBeCloseTo(value, 9)
}
