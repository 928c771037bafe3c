import { RunError } from "./error.ts"
import type { Graph, GraphReading } from "./graph.ts"

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

const plain = "V,A,W,ohm,F,H,Hz,s,K,m,g,N,Nm,Pa,bar,bit,B,bit/s,B/s,rpm,%,dB,degC,min,h".split(",")
/** Other spellings, and units that are a multiple of another. */
const alike = new Map<string, readonly [string, number, number?]>([
  ["\u03a9", ["ohm", 1]],
  ["\u2126", ["ohm", 1]],
  ["degC", ["K", 1, 273.15]],
  ["\u00b0C", ["K", 1, 273.15]],
  ["\u2103", ["K", 1, 273.15]],
  ["min", ["s", 60]],
  ["h", ["s", 3600]],
  ["bar", ["Pa", 1e5]],
  ["B", ["bit", 8]],
  ["B/s", ["bit/s", 8]],
])
const thousands = "qryzafpnum kMGTPEZYRQ"
const prefixes = new Map<string, number>([
  ["\u00b5", 1e-6],
  ["\u03bc", 1e-6],
  ["c", 0.01],
  ["d", 0.1],
  ["da", 10],
  ["h", 100],
])

/** Base unit, size in it, and the base units at which its scale has its zero. SI brochure, 9th ed.; IEC 80000-13 for Ki… */
function unitOf(symbol: string): readonly [string, number, number?] | undefined {
  const known = alike.get(symbol)
  if (known) return known
  if (plain.includes(symbol)) return [symbol, 1]
  for (const length of [1, 2]) {
    const prefix = symbol.slice(0, length)
    const rest = symbol.slice(length)
    const base = /^(min|h|rpm|%|dB|degC|.C|\u2103)$/.test(rest)
      ? undefined
      : (alike.get(rest) ?? (plain.includes(rest) && ([rest, 1] as const)))
    if (!base) continue
    const binary = /^[KMGTPEZY]i$/.test(prefix)
      ? 1024 ** (thousands.indexOf(prefix[0]!.replace("K", "k")) - 10)
      : undefined
    const power = length === 1 ? thousands.indexOf(prefix) : -1
    const factor = binary ?? prefixes.get(prefix) ?? (power < 0 ? undefined : Number(`1e${3 * power - 30}`))
    if (factor) return [base[0], base[1] * factor]
  }
  return undefined
}

/** `value` in another unit of the same dimension, to 12 digits; undefined where there is no way. */
export function convert(value: number, from: string, to: string): number | undefined {
  if (from === to) return value
  const a = unitOf(from)
  const b = unitOf(to)
  if (!a || !b || a[0] !== b[0]) return undefined
  return Number(((value * a[1] + (a[2] ?? 0) - (b[2] ?? 0)) / b[1]).toPrecision(12))
}

/** Room for binary fractions where a value is exactly half way between two that the meter can show: then it goes up. */
const rounding = 1e-9

/** @throws RunError that says what would have been an answer. */
export function readValue(reading: GraphReading, value: Value): Read {
  const { name, cells, unit, from, to, by } = reading
  const said = value === true ? "yes" : value === false ? "no" : String(value).trim()
  const listed = cells.findIndex((cell) => cell.values?.includes(said) || cell.label === said)
  if (listed >= 0) return { cell: listed, said }
  if (by === undefined) {
    const wanted = cells.flatMap((cell) => cell.values ?? []).map((word) => `\`${word}\``)
    throw new RunError(`\`${name}\` is ${wanted.join(" or ")}; \`${said}\` is not.`)
  }
  const parts = /^([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(.*)$/i.exec(said.replace("\u2212", "-"))
  const number = parts && convert(Number(parts[1]), parts[2] || unit!, unit!)
  const slack = rounding * by
  if (number == null || !(number >= from! - slack && number <= to! + slack))
    throw new RunError(
      `\`${name}\` wants a number from ${from} to ${to} ${unit}, in that unit or one like it; got \`${said}\`.`,
    )
  const step = (x: number) => Math.floor((x - from!) / by + 0.5 + rounding)
  const cell = cells.findIndex((cell) => step(number) >= step(cell.from!) && step(number) <= step(cell.to!))
  if (cell < 0) throw new RunError(`\`${name}\` has no cell for ${number} ${unit}.`)
  return { cell, said: `${number} ${unit}` }
}

/** One `Read` for each of these readings. @throws RunError where one is missing, unknown or cannot be read. */
export function readAnswer(graph: Graph, readings: readonly number[], found: unknown): Read[] {
  const all = readings.map((r) => graph.readings[r]!)
  const names = all.map((reading) => `\`${reading.name}\``).join(" and ")
  if (Array.isArray(found)) {
    return all.map((reading, i) => {
      const cell = reading.cells[found[i]]
      if (!cell || found.length !== all.length) throw new RunError(`${names} wants one cell index each.`)
      return { cell: found[i], said: cell.values?.[0] ?? cell.label }
    })
  }
  const byName = new Map<string, unknown>(
    found && typeof found === "object"
      ? Object.entries(found)
      : all.length === 1
        ? [[all[0]!.name, found]]
        : [],
  )
  for (const name of byName.keys())
    if (!all.some((reading) => reading.name === name))
      throw new RunError(`\`${name}\` is not read here; ${names} is.`)
  return all.map((reading) => {
    const value = byName.get(reading.name)
    if (!/^(string|number|boolean)$/.test(typeof value))
      throw new RunError(`What was found on ${names}? A value is wanted for \`${reading.name}\`.`)
    return readValue(reading, value as Value)
  })
}
