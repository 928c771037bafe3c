import { expect, test } from "vitest"
import { bind } from "../../compiler/model/bind.ts"
import type { GraphReading } from "../../compiler/run/graph.ts"
import { workOut } from "../../compiler/run/work-out.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"

const FRAME = `ruleset pump_hums "Pump: hums" bench 60 per hour
part motor "motor" spare
complaint stuck "it does not turn"
fault winding_open "winding open" in motor odds 1
test try_motor "Fit the known-good motor" swaps motor takes 10 min
`

function bound(type: string, takes: string, gives: string) {
  const text = `${FRAME}reading worked "Worked out" ${type} takes ${takes} gives ${gives}\n`
  const parsed = parse("pump.ruleout", text)
  const { model, diagnostics } = bind([parsed.tree], new Map([["pump.ruleout", text]]))
  const reading = model?.readings.find(({ name }) => name === "worked")
  return { diagnostics: [...parsed.diagnostics, ...diagnostics], reading }
}

/** What the reading comes to for numbers in the units of its inputs. */
function worked(type: string, takes: string, gives: string, ...numbers: readonly string[]): string {
  const { diagnostics, reading } = bound(type, takes, gives)
  expect(diagnostics).toEqual([])
  const { grid, worked: own } = reading!
  const names = own!.takes.map(({ name }, i) => [name, numbers[i]!])
  return workOut({ ...grid, ...own, name: "worked" } as unknown as GraphReading, Object.fromEntries(names))
}

// Worked by hand.
test.each([
  ["in V from 0 to 30 by 0.1", 'a "A" in V, b "B" in V', "a - b", ["230.1", "227.9"], "2.2 V"],
  ["in mV from 0 to 900 by 1", 'a "A" in V, b "B" in mV', "a - b", ["1.5", "850"], "650 mV"],
  ["in % from 0 to 200 by 1", 'a "A" in A, b "B" in mA', "a / b", ["4", "5000"], "80 %"],
  ["in count from 0 to 9 by 0.01", 'a "A" in A, b "B" in A', "a / b", ["1", "3"], "0.3333"],
  ["in W from 0 to 9000 by 1", 'a "A" in V, b "B" in A', "a * b", ["230", "1500 mA"], "345 W"],
  [
    "in ohm from 0 to 9 by 0.001",
    'a "A" in V, b "B" in V, c "C" in A',
    "(a - b) / c",
    ["12", "11.5", "10"],
    "0.05 ohm",
  ],
  ["in Ah from 0 to 9 by 0.01", 'a "A" in A, b "B" in min', "a * b", ["2", "90"], "3 Ah"],
  ["in L/min from 0 to 90 by 0.1", 'a "A" in L, b "B" in s', "a / b", ["5", "20"], "15 L/min"],
  ["in km/h from 0 to 90 by 0.1", 'a "A" in m, b "B" in s', "a / b", ["100", "10"], "36 km/h"],
  [
    "in psi from 0 to 90 by 0.1",
    'a "A" in N, b "B" in inch, c "C" in inch',
    "a / (b * c)",
    ["44.482216152605", "1", "1"],
    "10 psi",
  ],
  ["in K from 0 to 90 by 0.1", 'a "A" in degC, b "B" in degF', "a - b", ["20", "50"], "10 K"],
  ["in degC from 0 to 90 by 0.1", 'a "A" in degC, b "B" in K', "a + b", ["20", "5"], "25 degC"],
  ["in dB from 0 to 90 by 0.1", 'a "A" in dBm, b "B" in dBm', "a - b", ["-3", "-20"], "17 dB"],
  ["in V from -9 to 30 by 0.1", 'a "A" in V', "2 * a - 0.6 V - -1 V", ["5"], "10.4 V"],
  ["in V from -9 to 30 by 0.1", 'a "A" in V, b "B" in V, c "C" in V', "a-(b-c)−1 V", ["5", "3", "2"], "3 V"],
  ["in V from -9 to 30 by 0.1", 'a "A" in V', "a × 3 ÷ 2", ["5"], "7.5 V"],
])("%s, %s gives %s", (type, takes, gives, numbers, expected) => {
  expect(worked(type, takes, gives, ...numbers).replace(" count", "")).toBe(expected)
})

test.each([
  [
    "in V from 0 to 30",
    'a "A" in V, b "B" in A',
    "a - b",
    "unit-mismatch",
    "These can't be subtracted: voltage and current.",
  ],
  [
    "in V from 0 to 30",
    'a "A" in V, b "B" in A',
    "a * b",
    "unit-mismatch",
    "This is of other units; the reading is in `V`.",
  ],
  [
    "in W from 0 to 30",
    'a "A" in VA',
    "a",
    "unit-mismatch",
    "This is of the dimension apparent power; the reading is in `W`.",
  ],
  [
    "in degC from 0 to 30",
    'a "A" in degC, b "B" in degC',
    "a - b",
    "unit-mismatch",
    "This is a difference, and `degC` counts from a zero point of its own.",
  ],
  [
    "in degC from 0 to 30",
    'a "A" in degC, b "B" in degC',
    "a + b",
    "unit-mismatch",
    "Two readings of a scale with a zero point of its own can't be added.",
  ],
  [
    "in degC from 0 to 30",
    'a "A" in degC',
    "2 * a",
    "unit-mismatch",
    "What counts from a zero point of its own, or in `dB`, can't be multiplied.",
  ],
  [
    "in V from 0 to 30",
    'a "A" in V',
    "a - c",
    "unknown-input",
    "`c` isn't among the numbers that are taken.",
  ],
  [
    "in V from 0 to 30",
    'a "A" in V, b "B" in V',
    "a",
    "unused-input",
    "`b` is taken, and `gives` doesn't use it.",
  ],
  ["in V from 0 to 30", 'a "A" in V, a "B" in V', "a", "doubled-name", "`a` is taken twice."],
  ["yes or no", 'a "A" in V', "a", "type-mismatch", "`worked` is worked out, so it is a number."],
])("%s, %s gives %s: %s", (type, takes, gives, code, message) => {
  expect(bound(type, takes, gives).diagnostics.map((each) => [each.code, each.message])).toContainEqual([
    code,
    message,
  ])
})

test("what is missing is asked for, and a bad number refused in words", () => {
  const text = `${FRAME}reading worked "Worked out" in V from 0 to 30 by 0.1 gives a - b\n`
  const { diagnostics } = bind([parse("pump.ruleout", text).tree], new Map([["pump.ruleout", text]]))
  expect(diagnostics.map(({ message }) => message)).toContain(
    "`worked` is missing the numbers that it is worked out from.",
  )
  const ratio = ["in % from 0 to 200 by 1", 'a "A" in A, b "B" in A', "a / b"] as const
  expect(() => worked(...ratio, "1", "0")).toThrow("`worked` can't be worked out of these numbers")
  expect(() => worked(...ratio, "1", "3 V")).toThrow("`b` is a number in A; `3 V` isn't.")
  expect(() => worked(...ratio, "1", "")).toThrow("`b` is a number in A; `` isn't.")
})
