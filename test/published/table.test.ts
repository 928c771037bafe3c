import { expect, test } from "vitest"
import { analyse } from "../../compiler/compile.ts"

// OMG, Decision Model and Notation, conformance table 0111 (found in its public test kit): a first-hit table that gives
// cars above 18, video games above 12 and toys above 0. Years are no unit of the trade, so they are hours here.
const rows = ["age above 18 h", "age above 12 h", "age above 0 h"]

/** Whether two conditions can hold together, asked as a rule: one that never acts is found. */
function canHold(condition: string): boolean {
  const text = `ruleset gifts "What to give"
    part cars "cars"
    part toys "toys"
    complaint none "nothing is given yet"
    fault wants_cars "wants cars" in cars odds 1
    fault wants_toys "wants toys" in toys odds 1
    reading age "Age" in h from -10 to 100 by 1
    test ask "Ask the age" reads age takes 1 min
    when ${condition} rule out wants_toys`
  const { diagnostics } = analyse("gifts.ruleout", () => text)
  expect(diagnostics.filter(({ code }) => /^(?:unknown|unit|number|missing)/.test(code))).toEqual([])
  return !diagnostics.some(({ code }) => code === "unreachable-rule")
}

test("every two rows can hold together", () => {
  for (const one of rows) for (const other of rows) expect(canHold(`${one} and ${other}`)).toBe(true)
})

test("no row says anything from 0 down", () => {
  for (const row of rows) expect(canHold(`${row} and age at most 0 h`)).toBe(false)
  expect(canHold("age at most 0 h")).toBe(true)
})

test("the first hit of each age is its own", () => {
  expect(canHold(`${rows[1]} and not ${rows[0]}`)).toBe(true)
  expect(canHold(`${rows[0]} and not ${rows[1]}`)).toBe(false)
})
