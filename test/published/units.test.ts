import { expect, test } from "vitest"
import { convert as exactly } from "../../compiler/model/units.ts"
import { convert } from "../../compiler/run/index.ts"

// NIST Special Publication 811 (2008), "Guide for the Use of the International System of Units", appendix B.8, to the
// seven digits that it prints; whole factors are those printed in bold, which are exact. As quoted by others in public
// (secondary sources); the rows that say so are from memory.
// biome-ignore format: a table
const FACTORS: readonly (readonly [string, string, string, "exact" | "rounded"])[] = [
  ["inch", "m", "2.54E-02", "exact"],
  ["inch", "cm", "2.54E+00", "exact"],
  ["ft", "m", "3.048E-01", "exact"],
  ["mil", "m", "2.54E-05", "exact"],
  ["mil", "mm", "2.54E-02", "exact"],
  ["oz", "kg", "2.834952E-02", "rounded"],
  ["oz", "g", "2.834952E+01", "rounded"],
  ["lb", "kg", "4.535924E-01", "rounded"],
  ["lb", "kg", "4.5359237E-01", "exact"], // footnote 22
  ["psi", "Pa", "6.894757E+03", "rounded"],
  ["psi", "kPa", "6.894757E+00", "rounded"],
  ["psig", "kPag", "6.894757E+00", "rounded"],
  ["bar", "Pa", "1.0E+05", "exact"],
  ["bar", "kPa", "1.0E+02", "exact"],
  ["Wh", "J", "3.6E+03", "exact"],
  ["kWh", "J", "3.6E+06", "exact"],
  ["kWh", "MJ", "3.6E+00", "exact"],
  ["km/h", "m/s", "2.777778E-01", "rounded"],
  ["h", "s", "3.6E+03", "exact"], // memory
  ["min", "s", "6.0E+01", "exact"], // memory
]

test.each(FACTORS)("1 %s is %s %s, %s", (from, to, printed, kind) => {
  const ours = exactly(1, from, to)!
  const published = Number(printed)
  if (kind === "exact") expect(ours).toBe(published)
  else expect(Number(ours.toPrecision(7))).toBe(published)
  expect(Math.abs(convert(1, from, to)! / ours - 1)).toBeLessThan(1e-11)
})

// SP 811, appendix B.8: t/°C = (t/°F − 32)/1.8, T/K = (t/°F + 459.67)/1.8, T/K = t/°C + 273.15; an interval of 1 °F is
// 5.555 556E-01 °C or K (memory).
test.each([
  [32, "degF", "degC", 0],
  [212, "degF", "degC", 100],
  [-40, "degF", "degC", -40],
  [98.6, "°F", "°C", 37],
  [0, "degF", "K", 255.372222222],
  [20, "degC", "\u2109", 68],
  [300, "K", "degF", 80.33],
])("%d %s is %s: %d", (value, from, to, expected) => {
  expect(exactly(value, from, to)).toBeCloseTo(expected, 8)
  expect(convert(value, from, to)).toBeCloseTo(expected, 8)
})

test("a step of 9 °F is one of 5 °C, and has no zero point", () => {
  expect(exactly(9, "degF", "degC", "difference")).toBe(5)
  expect(Number(exactly(1, "degF", "K", "difference")!.toPrecision(7))).toBe(0.5555556)
})
