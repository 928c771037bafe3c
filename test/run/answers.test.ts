import fc from "fast-check"
import { expect, test } from "vitest"
import { convert as exactly, unit } from "../../compiler/model/units.ts"
import { type Answer, convert, open } from "../../compiler/run/index.ts"
import { unplanned } from "./kiosk.ts"

const job = open(unplanned)
const foundOf = (session: typeof job) => {
  const [entry] = session.log
  return entry && "found" in entry ? entry.found : undefined
}
const cellOf = (value: string | number) => foundOf(job.find({ reading: "rail" }, value))

test("a value is rounded to what the meter shows, half way up; cells take in both their ends", () => {
  for (const [value, cell] of [
    [22.79, 0],
    [22.8, 1],
    [22.794999, 0],
    [22.795, 1],
    ["22795 mV", 1],
    ["22.7949 V", 0],
    ["+22.8V", 1],
    [".02 kV", 0],
    ["2.4e1", 1],
    [0, 0],
    [30, 1],
    ["0.03 kV", 1],
  ] as const)
    expect([value, cellOf(value)]).toEqual([value, [cell]])
  for (const bad of [
    -0.01,
    30.01,
    Number.NaN,
    Number.POSITIVE_INFINITY,
    "",
    " ",
    "V",
    "1-2",
    "1.2.3 V",
    "1,5 V",
    "3 mA",
    "3 v",
    "0x10",
    "3 Vx",
    "9".repeat(200_000),
    `${"1e".repeat(100_000)} V`,
  ])
    expect(() => cellOf(bad), String(bad).slice(0, 20)).toThrow(/`rail` is a number from 0 to 30 V/)
})

test("readings by value, by cell, by cell index, by name", () => {
  const both = [
    { glow: "no", rail: "24 V" },
    { rail: 24, glow: false },
    { glow: "no", rail: "from 22.8 V" },
    [1, 1],
  ]
  for (const found of both) expect(foundOf(job.find({ test: "look_both" }, found as Answer))).toEqual([1, 1])
  for (const bad of [
    [1],
    [1, 2],
    [1, "x"],
    {},
    { glow: "no" },
    { glow: "no", rail: null },
    { glow: {}, rail: 24 },
    null,
    undefined,
    "no",
  ])
    expect(() => job.find({ test: "look_both" }, bad as never), JSON.stringify(bad)).toThrow(/`rail`|`glow`/)
})

// The bench's units; prefixes beyond tera and below pico are read where the reading itself has them.
test("units are converted as the compiler converts them", () => {
  const prefixes = [
    "",
    "p",
    "n",
    "u",
    "\u00b5",
    "\u03bc",
    "m",
    "c",
    "d",
    "h",
    "k",
    "M",
    "G",
    "T",
    "Ki",
    "Mi",
    "Gi",
    "Ti",
  ]
  const plain =
    "V A W VA var Ah J Wh ohm \u03a9 \u2126 F H Hz s min h K degC \u00b0C \u2103 degF \u00b0F \u2109 m inch ft mil m/s km/h L L/h L/min g oz lb N Nm Pa bar psi Pag barg psig bit B bit/s B/s rpm % dB dBm lm lx deg \u00b0 count".split(
      " ",
    )
  const symbols = plain
    .flatMap((each) => prefixes.map((prefix) => prefix + each))
    .filter((symbol) => unit(symbol))
  const pairs = symbols.flatMap((from) =>
    symbols.filter((to) => unit(from)!.dimension === unit(to)!.dimension).map((to) => [from, to] as const),
  )
  expect(pairs.length).toBeGreaterThan(2000)
  fc.assert(
    fc.property(
      fc.constantFrom(...pairs),
      fc.integer({ min: -99999, max: 99999 }),
      fc.integer({ min: -3, max: 3 }),
      ([from, to], digits, power) => {
        const value = Number(`${digits}e${power}`)
        const want = exactly(value, from, to)!
        const got = convert(value, from, to)!
        expect(Math.abs(got - want), `${value} ${from} in ${to}: ${got}, not ${want}`).toBeLessThanOrEqual(
          1e-11 * Math.max(Math.abs(want), from === to ? 0 : 1e-9),
        )
      },
    ),
    { numRuns: 500 },
  )
  for (const [from, to] of [
    ["V", "A"],
    ["rpm", "Hz"],
    ["dB", "%"],
    ["Nm", "N"],
    ["", "V"],
    ["constructor", "V"],
    ["mmV", "V"],
  ] as const)
    expect(convert(1, from, to)).toBeUndefined()
})
