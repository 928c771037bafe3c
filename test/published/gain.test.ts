import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { readArff } from "../support/arff.ts"
import { informationGain } from "../support/gain.ts"

const weather = readArff(readFileSync(join(import.meta.dirname, "weather.nominal.arff"), "utf8"))

// J. R. Quinlan, "Induction of Decision Trees", Machine Learning 1, 1986; the paper truncates its figures.
test.each([
  ["outlook", 0.2467],
  ["humidity", 0.1518],
  ["windy", 0.0481],
  ["temperature", 0.0292],
])("%s gains %f bits", (attribute, bits) => {
  expect(weather.rows).toHaveLength(14)
  expect(Math.abs(informationGain(weather, attribute) - bits)).toBeLessThan(0.001)
})
