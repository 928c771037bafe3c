import { RunError } from "./error.ts"
import type { GraphReading } from "./graph.ts"

/** A reading's value as a host gives it: a listed value, a number in the reading's unit, or a text with a unit. */
export type Value = string | number | boolean

/**
 * What a host may say was found: `"gone"` or `"stays"`; a value, where the test has one reading; values by reading's
 * name; or cell indexes in the order of the test's readings, as the graph's edges have them.
 */
export type Answer = Value | readonly number[] | Readonly<Record<string, Value>>

/** One reading found: its cell, and the value as the record keeps it. */
export interface Read {
  readonly cell: number
  readonly said: string
}

const table = (text: string) => text.split(" ").map((each) => each.split("="))

/** SI brochure, 9th edition, table 7; IEC 80000-13. None comes first, so that `min` is no thousandth of anything. */
const prefixes = table(
  "=1 p=1e-12 n=1e-9 u=1e-6 μ=1e-6 m=.001 c=.01 d=.1 h=100 k=1e3 M=1e6 G=1e9 T=1e12 Ki=0x400 Mi=0x100000 Gi=0x40000000 Ti=0x10000000000",
)
/** A unit, or the unit that it is a multiple of and how many of it. SI brochure, 9th edition, tables 2, 4 and 8. */
const units = table(
  "V A W ohm Ω=ohm F H Hz s min=s=60 h=s=3600 K degC=K °C=K m g N Nm Pa bar=Pa=1e5 bit B=bit=8 bit/s B/s=bit/s=8 rpm % dB",
)

/** Base unit, how many of it, and how many to add so that the scale starts where the base unit's does. */
function unitOf(symbol: string) {
  // Micro and ohm have signs of their own beside the Greek letters, and so has the degree Celsius.
  const text = symbol.normalize("NFKC")
  for (const [prefix, factor] of prefixes)
    for (const [name, base = name, size = 1] of units)
      if (text === prefix! + name)
        return { base, size: Number(factor) * Number(size), zero: /C$/.test(text) ? 273.15 : 0 }
  return undefined
}

/** `value` in another unit of the same dimension, to 12 digits; undefined where there is no way. */
export function convert(value: number, from: string, to: string): number | undefined {
  const a = unitOf(from)
  const b = unitOf(to)
  if (from === to) return value
  return a && b && a.base === b.base
    ? Number(((value * a.size + a.zero - b.zero) / b.size).toPrecision(12))
    : undefined
}

/** Where a value is half way between two that the meter can show it goes up, with room for binary fractions. */
const half = 0.5 + 1e-9

/** @throws RunError that says what would have been an answer. */
function readValue({ name, cells, unit = "", from, to, by }: GraphReading, value: unknown): Read {
  const said =
    value === true ? "yes" : value === false ? "no" : typeof value === "object" ? "" : `${value}`.trim()
  const listed = cells.findIndex((cell) => cell.values?.includes(said) || cell.label === said)
  if (listed >= 0) return { cell: listed, said }
  const [, digits, given] = /^([-+.\d]+(?:e[-+]?\d+)?)\s*(.*)$/i.exec(said) ?? []
  const number = convert(Number(digits), given || unit, unit)!
  const step = (x: number) => Math.floor((x - from!) / by! + half)
  const cell = cells.findIndex(
    (cell) =>
      number >= from! && number <= to! && step(number) >= step(cell.from!) && step(number) <= step(cell.to!),
  )
  if (cell < 0) {
    const wanted = by
      ? `a number from ${from} to ${to} ${unit}`
      : cells.map((cell) => `\`${cell.label}\``).join(" or ")
    throw new RunError(`\`${name}\` is ${wanted}; \`${said}\` is not.`)
  }
  return { cell, said: `${number} ${unit}` }
}

/** One `Read` for each of these readings. @throws RunError where one is missing, unknown or cannot be read. */
export function readAnswer(
  { readings: every }: { readonly readings: readonly GraphReading[] },
  readings: readonly number[],
  found: unknown,
): Read[] {
  const all = readings.map((r) => every[r]!)
  const given = new Map<string, unknown>(
    Array.isArray(found)
      ? all.map(({ name, cells }, i) => [name, cells[found[i]]?.label ?? ""])
      : Object(found) === found
        ? Object.entries(found as object)
        : [[all[0]!.name, found]],
  )
  if (given.size !== all.length || !all.every(({ name }) => given.has(name)))
    throw new RunError(`One value is wanted for each of ${all.map(({ name }) => `\`${name}\``).join(", ")}.`)
  return all.map((reading) => readValue(reading, given.get(reading.name)))
}
