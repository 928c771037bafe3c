import { expect, test } from "vitest"
import { belief, outcomes, start } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

/** One finding that a rare fault shows with `sensitivity` and everything else with `falsePositives`. */
function screened(prevalence: number, sensitivity: number, falsePositives: number): number {
  const model = modelOf({
    places: [
      { name: "a", kind: "setup" },
      { name: "b", kind: "setup" },
    ],
    faults: [
      { name: "rare", in: "a", odds: prevalence, shows: { sign: [sensitivity, 1 - sensitivity] } },
      { name: "common", in: "b", odds: 1 - prevalence },
    ],
    readings: [{ name: "sign", cells: ["yes", "no"], healthy: [falsePositives, 1 - falsePositives] }],
    tests: [{ name: "look", reads: ["sign"], minutes: 1 }],
  })
  const [yes] = outcomes(model, start(model), { test: 0, putBack: false })
  return belief(model, yes!.state).uncured[0]!
}

// D. M. Eddy 1982; G. Gigerenzer, U. Hoffrage, Psychological Review 102, 1995 (from memory, recomputed).
test("1 % prevalence, 80 % sensitivity, 9.6 % false positives", () => {
  expect(screened(0.01, 0.8, 0.096)).toBeCloseTo(0.0776, 4)
})

// W. Casscells, A. Schoenberger, T. B. Graboys, New England Journal of Medicine 299, 1978 (from memory, recomputed).
test("one in a thousand, 5 % false positives, nothing missed", () => {
  expect(screened(0.001, 1, 0.05)).toBeCloseTo(0.0196, 4)
})
