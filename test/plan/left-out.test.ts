import { expect, test } from "vitest"
import { likeliestStates, makeFaultStates } from "../../compiler/plan/fault-states.ts"
import { makePlan } from "../../compiler/plan/planner.ts"
import { modelOf } from "../support/sketch.ts"

const twoParts = (faults: number) =>
  modelOf({
    second: 0.1,
    unlisted: 0.02,
    handover: 60,
    places: ["a", "b"].map((name) => ({ name, kind: "part", price: 10 })),
    faults: Array.from({ length: faults }, (_, i) => ({
      name: `fault${i}`,
      in: i % 2 === 0 ? "a" : "b",
      odds: 1 + i,
    })),
    tests: [],
  })

test("of too many pairs of faults the least likely are left out, and it is said what they weigh", () => {
  const all = makeFaultStates(twoParts(30))
  expect(all.count).toBe(30 + (30 * 29) / 2 + 1)
  const few = likeliestStates(all, 100)
  expect(few.count).toBe(100)
  const pairs = (states: typeof all) =>
    [...states.prior].filter((_, state) => states.second[state]! >= 0).sort((a, b) => b - a)
  expect(pairs(few)).toEqual(pairs(all).slice(0, 100 - 31))
  const kept = few.prior.reduce((sum, chance) => sum + chance, 0)
  expect(kept + few.leftOut).toBeCloseTo(1, 12)
  expect(few.leftOut).toBeCloseTo(
    pairs(all)
      .slice(100 - 31)
      .reduce((sum, chance) => sum + chance, 0),
    12,
  )
  expect(likeliestStates(all, all.count)).toBe(all)
})

test("no fault is left out, however many there are", () => {
  const few = likeliestStates(makeFaultStates(twoParts(30)), 3)
  expect([...few.second].every((fault) => fault < 0)).toBe(true)
  expect(few.count).toBe(31)
  expect(few.leftOut).toBeCloseTo(0.1, 12)
})

test("a plan of more faults than it has room for pairs says what it leaves out, and claims no proof", () => {
  const large = makePlan(twoParts(110), { effort: 1, bare: true })
  expect(large.leftOut).toBeGreaterThan(0)
  expect(large.leftOut).toBeLessThan(0.01)
  expect(large.exact).toBe(false)
  expect(large.lower).toBeGreaterThan(0)
  expect(large.lower).toBeLessThan(large.expected.total)
  expect(makePlan(twoParts(20), { effort: 1, bare: true }).leftOut).toBe(0)
})
