import { RunError } from "./error.ts"
import type { GraphReading } from "./graph.ts"
import type { CellIndex, ReadingIndex } from "./indexes.ts"
import type { Found } from "./session-types.ts"

/** One reading found: its cell, and the value as the record keeps it. */
export interface Read {
  readonly cell: CellIndex
  readonly said: string
}

const table = (text: string) => text.split(" ").map((each) => each.split("="))

/** SI brochure, 9th edition, table 7; IEC 80000-13. None comes first, so that `min` is no thousandth of anything. */
const prefixes = table(
  "=1 p=1e-12 n=1e-9 u=1e-6 μ=1e-6 m=.001 c=.01 d=.1 h=100 k=1e3 M=1e6 G=1e9 T=1e12 Ki=0x400 Mi=0x100000 Gi=0x40000000 Ti=0x10000000000",
)
/**
 * A unit, or the unit that it is a multiple of, how many of it, and how many to add so that the scale starts where that
 * unit's does. SI brochure, 9th edition, tables 2, 4 and 8; NIST SP 811, appendix B.
 */
const units = table(
  "V A W VA var Ah J Wh=J=3600 ohm Ω=ohm F H Hz s min=s=60 h=s=3600 K degC=K=1=273.15 °C=K=1=273.15 degF=K=.55555555555556=255.37222222222 °F=K=.55555555555556=255.37222222222 m inch=m=.0254 ft=m=.3048 mil=m=254e-7 m/s km/h=m/s=.27777777777778 L L/h L/min=L/h=60 g oz=g=28.349523125 lb=g=453.59237 N Nm Pa bar=Pa=1e5 psi=Pa=6894.7572931684 Pag barg=Pag=1e5 psig=Pag=6894.7572931684 bit B=bit=8 bit/s B/s=bit/s=8 rpm % dB dBm lm lx deg °=deg count",
)

/** Base unit, how many of it, and how many to add so that the scale starts where the base unit's does. */
function unitOf(symbol: string) {
  // Micro and ohm have signs of their own beside the Greek letters, and so has the degree Celsius.
  const text = symbol.normalize("NFKC")
  for (const [prefix, factor] of prefixes)
    for (const [name, base = name, size = 1, zero = 0] of units)
      if (text === prefix! + name) return { base, size: +factor! * +size, zero: +zero }
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
const HALF = 0.5 + 1e-9
/** A longer text is no value, and messages repeat no more of one. */
const MOST_SAID = 80

/** @throws RunError that says what would have been an answer. */
export function readValue(reading: GraphReading, value: unknown): Read {
  const said =
    value === true ? "yes" : value === false ? "no" : typeof value === "object" ? "" : `${value}`.trim()
  const listed = reading.cells.findIndex((cell) => cell.values?.includes(said) || cell.label === said)
  if (listed !== -1) return { cell: listed, said }
  const number = reading.by === undefined || said.length > MOST_SAID ? undefined : numberIn(reading, said)
  const cell = number === undefined ? -1 : cellAt(reading, number)
  if (cell === -1)
    throw new RunError("answer", `\`${reading.name}\` is ${wanted(reading)}; \`${brief(said)}\` isn't.`)
  return { cell, said: withUnit(number, reading) }
}

/** A number with or without a unit, in the unit of what it is asked for. */
export function numberIn({ unit = "" }: Pick<GraphReading, "unit">, said: string): number | undefined {
  // Nothing has to follow, so that no text makes it try twice.
  const [digits] = /^[-+.\d]*(?:e[-+]?\d+)?/i.exec(said)!
  return digits === "" ? undefined : convert(Number(digits), said.slice(digits.length).trim() || unit, unit)
}

function cellAt({ cells, from, to, by }: GraphReading, number: number): CellIndex | -1 {
  const step = (x: number) => Math.floor((x - from!) / by! + HALF)
  return cells.findIndex(
    (cell) =>
      number >= from! && number <= to! && step(number) >= step(cell.from!) && step(number) <= step(cell.to!),
  )
}

function wanted(reading: GraphReading): string {
  const { cells, from, to, by } = reading
  return by
    ? `a number from ${from} to ${withUnit(to, reading)}`
    : cells.map(({ label }) => `\`${label}\``).join(" or ")
}

/** What is merely counted has no unit that anybody says. */
function withUnit(number: number | undefined, { unit }: GraphReading): string {
  return unit === "count" ? `${number}` : `${number} ${unit}`
}

/** A text from outside, as much of it as a message repeats. */
export function brief(text: string): string {
  return text.length > MOST_SAID ? `${text.slice(0, MOST_SAID)}…` : text
}

/** One `Read` for each of these readings. @throws RunError where one is missing, unknown or cannot be read. */
export function readAnswer(
  { readings: every }: { readonly readings: readonly GraphReading[] },
  readings: readonly ReadingIndex[],
  found: unknown,
): Read[] {
  const all = readings.map((r) => every[r]!)
  const missing = () =>
    new RunError("answer", `Give one value for each of ${all.map(({ name }) => `\`${name}\``).join(", ")}.`)
  if (Array.isArray(found)) {
    if (found.length !== all.length) throw missing()
    return all.map((reading, i) => readCell(reading, found[i]))
  }
  const isObject = typeof found === "object" && found !== null
  const given = new Map<string, unknown>(isObject ? Object.entries(found) : [[all[0]!.name, found]])
  if (given.size !== all.length || !all.every(({ name }) => given.has(name))) throw missing()
  return all.map((reading) => readValue(reading, given.get(reading.name)))
}

function readCell(reading: GraphReading, cell: unknown): Read {
  const { label, values: [said = label] = [] } = reading.cells[cell as number] ?? {}
  if (said === undefined) throw new RunError("answer", `\`${reading.name}\` is ${wanted(reading)}.`)
  // The word itself: what it is called depends on the language.
  return { cell: cell as CellIndex, said }
}

/** One of the words that a look, the proof run or an action without either ends in. @throws RunError */
export function readWord(words: readonly Found[], found: unknown, action: string): Found {
  const word = words.find((each) => each === found)
  if (word === undefined) {
    const named = words.map((each) => `\`${each}\``).join(" or ")
    throw new RunError("answer", `After ${action} the answer is ${named}.`)
  }
  return word
}
