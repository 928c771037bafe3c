import { expect, test } from "vitest"
import { testability } from "../../compiler/check/testability.ts"
import { modelFrom, planFor } from "./text.ts"

const two = (tests: string) =>
  modelFrom(`ruleset two "Two parts"
  bench 60 per hour  comeback costs 1000  handover costs 1000
complaint dark "dark"
part a "a" price 100 spare
part b "b" price 100 spare
part c "c" price 100
fault a_bad "a bad" in a odds 5
fault b_bad "b bad" in b odds 3
fault c_bad "c bad" in c odds 2
${tests}`)

test("no test at all: one group of all three", () => {
  const model = two("")
  expect(testability(model, planFor(model))).toEqual({
    detected: 1,
    within: [0, 0, 1],
    meanSize: 3,
    unplanned: 0,
  })
})

test("one part can be tried: half of the jobs end with one remedy, the rest with two", () => {
  const model = two('test try_a "Fit a" swaps a takes 1 min')
  const { within, meanSize } = testability(model, planFor(model))
  expect(within[0]).toBeCloseTo(0.5, 12)
  expect(within[1]).toBeCloseTo(1, 12)
  // By hand: 0.5 × 1 + 0.5 × 2.
  expect(meanSize).toBeCloseTo(1.5, 12)
})

test("two parts can be tried: every job ends with one remedy", () => {
  const model = two('test try_a "Fit a" swaps a takes 1 min\ntest try_b "Fit b" swaps b takes 1 min')
  expect(testability(model, planFor(model)).within[0]).toBeCloseTo(1, 12)
})
