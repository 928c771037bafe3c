import { describe, expect, test } from "vitest"
import { brier } from "../../compiler/cases/stats/brier.ts"
import { wilson } from "../../compiler/cases/stats/wilson.ts"

// R. G. Newcombe, Statistics in Medicine 17, 1998, table I, method 3 (figures from memory, recomputed).
test.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])("Wilson's interval for %i of %i is %f to %f", (count, of, low, high) => {
  const interval = wilson(count, of)
  expect(interval.low).toBeCloseTo(low, 4)
  expect(interval.high).toBeCloseTo(high, 4)
})

describe("Brier's score", () => {
  // G. W. Brier, Monthly Weather Review 78, 1950, table 1 (figures from memory, recomputed): ten forecasts of rain.
  test("of the ten forecasts is 0.19", () => {
    const forecast = [0.7, 0.9, 0.8, 0.4, 0.2, 0, 0, 0, 0, 0.1]
    const rained = [0, 1, 1, 1, 0, 0, 0, 0, 0, 0]
    const scores = forecast.map((chance, day) => brier([chance, 1 - chance], rained[day] === 1 ? 0 : 1))
    expect(scores.reduce((sum, each) => sum + each, 0) / scores.length).toBeCloseTo(0.19, 12)
  })
})
