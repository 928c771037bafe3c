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

/** SI brochure, 9th edition, tables 7 and 8; IEC 80000-13 for `Ki` and so on. A decibel is no tenth of a byte. */
const symbol =
  /^((?!dB)(?:[KMGT]i|[pnuμmcdhkMGT]))?(V|A|W|ohm|Ω|F|Hz?|s|K|m|g|Nm?|Pa|bar|(?:bit|B)(?:\/s)?|min|h|rpm|%|dB|(?:deg|°)C)$/
/** The place of a prefix is its power of ten, from -12; `u` and the Greek letter stand for micro. */
const prefixes = "p  n  u  mcd  hk  M  G  T"
/** Units that are a multiple of another: that unit, and how many of it. */
const multiples: Record<string, readonly [string, number]> = {
  min: ["s", 60],
  h: ["s", 3600],
  bar: ["Pa", 1e5],
  B: ["bit", 8],
  "B/s": ["bit/s", 8],
}

/** Base unit, how many of it, and how many to add so that the scale starts where the base unit's does. */
function unitOf(text: string): readonly [string, number, number] | undefined {
  // Micro and ohm have signs of their own beside the Greek letters, and so has the degree Celsius.
  const [, prefix, unit] = symbol.exec(text.normalize("NFKC")) ?? []
  if (!unit) return undefined
  if (/C/.test(unit)) return ["K", 1, 273.15]
  const [base, size] = multiples[unit] ?? [unit.replace("Ω", "ohm"), 1]
  const power = prefix ? prefixes.indexOf(prefix[0]!.replace("K", "k").replace("μ", "u")) - 12 : 0
  return [base, size * (prefix?.[1] ? 1024 ** (power / 3) : 10 ** power), 0]
}

/** `value` in another unit of the same dimension, to 12 digits; undefined where there is no way. */
export function convert(value: number, from: string, to: string): number | undefined {
  const a = unitOf(from)
  const b = unitOf(to)
  if (from === to) return value
  return a && b && a[0] === b[0] ? Number(((value * a[1] + a[2] - b[2]) / b[1]).toPrecision(12)) : undefined
}

/** Where a value is half way between two that the meter can show it goes up, with room for binary fractions. */
const half = 0.5 + 1e-9

/** @throws RunError that says what would have been an answer. */
function readValue({ name, cells, unit = "", from, to, by }: GraphReading, value: unknown): Read {
  const said =
    value === true ? "yes" : value === false ? "no" : typeof value === "object" ? "" : `${value}`.trim()
  const listed = cells.findIndex((cell) => cell.values?.includes(said) || cell.label === said)
  if (listed >= 0) return { cell: listed, said }
  const [, digits, given] = /^([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(.*)$/i.exec(said) ?? []
  const number = digits && convert(Number(digits), given || unit, unit)
  const step = (x: number) => Math.floor((x - from!) / by! + half)
  const cell =
    typeof number === "number" && number >= from! && number <= to!
      ? cells.findIndex((cell) => step(number) >= step(cell.from!) && step(number) <= step(cell.to!))
      : -1
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
  if (Array.isArray(found) && found.length === all.length && all.every(({ cells }, i) => cells[found[i]]))
    return all.map(({ cells }, i) => {
      const cell = cells[found[i]]!
      return { cell: found[i], said: cell.label }
    })
  const given = new Map<string, unknown>(
    Object(found) === found ? Object.entries(found as object) : [[all[0]!.name, found]],
  )
  if (given.size !== all.length || !all.every(({ name }) => given.has(name)))
    throw new RunError(
      `What was found on ${all.map(({ name }) => `\`${name}\``).join(" and ")}? One value each is wanted.`,
    )
  return all.map((reading) => readValue(reading, given.get(reading.name)))
}
