/** A column of findings as a reading, or a told question where its header begins with `told`. */
import { at, last } from "../../run/lookup.ts"
import { typedNumber } from "../../wording/typed-number.ts"
import { headerOf, nameFrom } from "../table/columns.ts"

export interface Drawn {
  readonly name: string
  readonly question: string
  readonly told: boolean
  readonly declaration: string
  /** By category: the condition as `shows` has it, and the share of the base measure. */
  readonly conditions: readonly string[]
  readonly shares: readonly number[]
  /** The category of a cell; -1 where nothing was found, or nothing that can be read. */
  categoryOf(cell: string): number
}

const MOST_VALUES = 30
/** Cases of a quantity are parted into so many about equal lots. */
const LOTS = 4

export function isMissing(cell: string | undefined): boolean {
  return cell === undefined || ["", "?", "-", "–", "n/a", "na", "null"].includes(cell.trim().toLowerCase())
}

/** `values`: every cell of the column. Gives the reason where the column cannot be one. */
export function drawReading(
  header: string,
  values: readonly string[],
  unused: (name: string) => string,
): Drawn | string {
  const told = /^told[\s:_-]+([^\s:_-].*)$/i.exec(header.trim())?.[1]
  const { name, unit } = headerOf(told ?? header)
  const present = values.filter((value) => !isMissing(value))
  const distinct = [...new Set(present)]
  if (distinct.length < 2) return "it always says the same."
  if (distinct.every((value) => /^(gone|stays)$/i.test(value)))
    return "it says what a swap or redoing came to; write that test, and what it swaps or redoes."
  if (name === "date" && distinct.every((value) => /^\d{4}-\d\d/.test(value))) return "it is the date."
  if (/^minutes_|_minutes$/.test(name)) return "it counts minutes."
  const base = { name: "", question: (told ?? header).trim(), told: told !== undefined }
  if (unit !== undefined) {
    const numbers = present.map((cell) => numberIn(cell, unit))
    if (numbers.every(Number.isFinite)) return quantity({ ...base, name: unused(name) }, unit, numbers)
    return `not all of it are numbers, and its header has a unit.`
  }
  if (distinct.length > MOST_VALUES)
    return `it has ${distinct.length} different values; a number needs its unit in the header.`
  return choice({ ...base, name: unused(name) }, distinct)
}

/** NaN where it is none, or can be two. */
function numberIn(cell: string, unit: string): number {
  const typed = typedNumber(cell, unit)
  return "said" in typed && typed.said.endsWith(` ${unit}`)
    ? Number(typed.said.slice(0, -unit.length - 1))
    : Number.NaN
}

type Base = Pick<Drawn, "name" | "question" | "told">

function choice(base: Base, distinct: readonly string[]): Drawn | string {
  const words = [...new Set(distinct.map(nameFrom))]
  const yesNo = words.length === 2 && words.includes("yes") && words.includes("no")
  const values = yesNo ? ["yes", "no"] : words
  if (values.length < 2) return "its values cannot be told apart as words."
  const type = yesNo ? "yes or no" : `one of ${values.join(", ")}`
  return {
    ...base,
    declaration: `${base.told ? "told" : "reading"} ${base.name} ${question(base)} ${type}`,
    conditions: values.map((value) => `is ${value}`),
    shares: values.map(() => 1 / values.length),
    categoryOf: (cell) => (isMissing(cell) ? -1 : values.indexOf(nameFrom(cell))),
  }
}

function quantity(base: Base, unit: string, numbers: readonly number[]): Drawn {
  const decimals = Math.min(6, Math.max(...numbers.map((n) => (String(n).split(".")[1] ?? "").length)))
  const scale = 10 ** decimals
  const sorted = numbers.map((n) => Math.round(n * scale)).sort((a, b) => a - b)
  const [least, largest] = [at(sorted, 0), last(sorted)]
  const cuts = new Set<number>()
  for (let lot = 1; lot < LOTS; lot++) {
    const cut = at(sorted, Math.floor((lot * sorted.length) / LOTS))
    if (cut > least) cuts.add(cut)
  }
  const edges = [least, ...cuts, largest + 1]
  const write = (n: number) => (n / scale).toFixed(decimals)
  const conditions = edges.slice(0, -1).map((from, k) => {
    const to = at(edges, k + 1)
    if (k === 0) return `below ${write(to)} ${unit}`
    return k === edges.length - 2
      ? `at least ${write(from)} ${unit}`
      : `between ${write(from)} and ${write(to - 1)} ${unit}`
  })
  const type = `in ${unit} from ${write(least)} to ${write(largest)} by ${write(1)}`
  return {
    ...base,
    declaration: `${base.told ? "told" : "reading"} ${base.name} ${question(base)} ${type}`,
    conditions: edges.length > 2 ? conditions : [`at least ${write(least)} ${unit}`],
    shares: edges.slice(0, -1).map((from, k) => (at(edges, k + 1) - from) / (largest + 1 - least)),
    categoryOf: (cell) => {
      const value = Math.round(numberIn(cell, unit) * scale)
      if (isMissing(cell) || !(value >= least && value <= largest)) return -1
      return edges.findLastIndex((edge) => value >= edge)
    },
  }
}

function question({ question }: Base): string {
  return `"${question.replace(/\s+/g, " ").replace(/["\\]/g, "\\$&")}"`
}
