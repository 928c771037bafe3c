import * as m from "./compiled/common.ts"
import { withUnit } from "./figures.ts"
import { ANSWERS, retold } from "./retold.ts"
import { english, type Words } from "./words.ts"

/** The grid of a quantity: the values `from`, `from + by`, … of which there are `count`. */
export interface ValueGrid {
  readonly unit: string
  readonly from: number
  readonly by: number
  readonly count: number
}

/** A cell of a reading: one value of a choice, or the grid values `first` to `last` (indexes, both included). */
export interface ValueCell {
  readonly label: string
  readonly value?: string
  readonly first?: number
  readonly last?: number
}

export interface ReadingValues {
  readonly grid?: ValueGrid
  readonly cells: readonly ValueCell[]
}

/** The value at an index of a grid, with the decimals of its step. */
export function gridValue(grid: Pick<ValueGrid, "from" | "by">, index: number): string {
  const decimals = Math.max(decimalsOf(grid.by), decimalsOf(grid.from))
  return String(Number((grid.from + index * grid.by).toFixed(decimals)))
}

function decimalsOf(value: number): number {
  const [digits, exponent] = String(value).split("e") as [string, string?]
  const point = digits.indexOf(".")
  return Math.max(0, (point < 0 ? 0 : digits.length - point - 1) - Number(exponent ?? 0))
}

/** Runs of consecutive flags: `[first, last]`, both included. */
export function flaggedRuns(flags: readonly boolean[]): [number, number][] {
  const runs: [number, number][] = []
  for (let first = flags.indexOf(true); first >= 0; ) {
    const gap = flags.indexOf(false, first)
    const end = gap < 0 ? flags.length : gap
    runs.push([first, end - 1])
    first = flags.indexOf(true, end)
  }
  return runs
}

/**
 * The comparisons of the language that pick these cells when joined by `or`: `is not yes`, `between 15 and 22.7 V`.
 * `chosen`: a flag for each cell.
 */
export function comparisons(reading: ReadingValues, chosen: readonly boolean[]): string[] {
  const { grid, cells } = reading
  if (grid === undefined) return [choiceComparison(cells, chosen)]
  const runs = flaggedRuns(chosen)
  if (runs.length === 0) return [`at none of the values from ${gridSpan(grid, 0, grid.count - 1, "to")}`]
  const [gap, ...otherGaps] = flaggedRuns(chosen.map((flag) => !flag))
  if (runs.length === 2 && gap !== undefined && otherGaps.length === 0) {
    const [first, last] = gridIndexes(cells, gap)
    return [`outside ${gridSpan(grid, first, last, "and")}`]
  }
  return runs.map((run) => rangeComparison(grid, ...gridIndexes(cells, run)))
}

/** The same as one phrase. */
export function comparison(reading: ReadingValues, chosen: readonly boolean[]): string {
  return comparisons(reading, chosen).join(" or ")
}

function choiceComparison(cells: readonly ValueCell[], chosen: readonly boolean[]): string {
  const values = (wanted: boolean) =>
    cells.flatMap((cell, i) => (chosen[i] === wanted ? [cell.value ?? cell.label] : []))
  const [picked, others] = [values(true), values(false)]
  if (picked.length === 1) return `is ${picked[0]}`
  if (others.length === 1) return `is not ${others[0]}`
  return picked.length === 0 ? "is none of its values" : `is one of ${picked.join(", ")}`
}

function gridIndexes(cells: readonly ValueCell[], [from, to]: readonly [number, number]): [number, number] {
  return [cells[from]?.first ?? 0, cells[to]?.last ?? 0]
}

function rangeComparison(grid: ValueGrid, first: number, last: number): string {
  const end = grid.count - 1
  // Of two limits that mean the same, an author is likely to have written the shorter.
  if (first === 0 && last < end) {
    const [most, next] = [gridValue(grid, last), gridValue(grid, last + 1)]
    return most.length <= next.length
      ? `at most ${withUnit(most, grid.unit)}`
      : `below ${withUnit(next, grid.unit)}`
  }
  if (last === end && first > 0) {
    const [least, before] = [gridValue(grid, first), gridValue(grid, first - 1)]
    return least.length <= before.length
      ? `at least ${withUnit(least, grid.unit)}`
      : `above ${withUnit(before, grid.unit)}`
  }
  return `between ${gridSpan(grid, first, last, "and")}`
}

function gridSpan(grid: ValueGrid, first: number, last: number, word: string): string {
  return `${gridValue(grid, first)} ${word} ${withUnit(gridValue(grid, last), grid.unit)}`
}

/** A value from the middle of a cell, as somebody at the bench would have found it: `yes`, `12.6 V`. */
export function typicalValue({ grid, cells }: ReadingValues, cell: number): string {
  const { value, label, first, last } = cells[cell] ?? { label: "" }
  return grid === undefined || first === undefined || last === undefined
    ? (value ?? label)
    : withUnit(gridValue(grid, (first + last) >> 1), grid.unit)
}

/** A reading as a graph has it. A cell of a quantity goes `from` its first `to` its last value. */
export interface LabelledReading {
  readonly unit?: string | undefined
  readonly cells: readonly {
    readonly label: string
    readonly values?: readonly string[] | undefined
    readonly from?: number | undefined
    readonly to?: number | undefined
  }[]
}

const RANGES = [m.valuesBelow, m.valuesUpTo, m.valuesFrom, m.valuesAbove, m.valuesBetween]

/** The label of a cell: the compiler words those of a quantity in English, and `yes or no`; other values are the ruleset's texts. */
export function cellLabel({ label, from }: LabelledReading["cells"][number], words: Words): string {
  return from === undefined ? retold(label, ANSWERS, words) : retold(label, RANGES, words)
}

/** A value as it was recorded: a listed one by its label, a number as the language writes it. */
export function saidText({ cells }: LabelledReading, said: string, words: Words): string {
  const listed = cells.find(({ values }) => values?.includes(said))
  return listed ? cellLabel(listed, words) : words.digits(said)
}

/** Cells as a technician reads them: `yes or no`, `below 22.8 V`, `5 to 40 ohm or from 201 ohm`. Cells side by side are one range. */
export function cellsText(
  { cells: all, unit }: LabelledReading,
  cells: readonly number[],
  words: Words = english,
): string {
  const runs = flaggedRuns(all.map((_, cell) => cells.includes(cell)))
  return words.alternatives(runs.flatMap(([first, last]) => runText(all, unit, first, last, words)))
}

function runText(
  all: LabelledReading["cells"],
  unit: string | undefined,
  first: number,
  last: number,
  words: Words,
): string[] {
  const [from, to, next] = [all[first]?.from, all[last]?.to, all[last + 1]?.from]
  // Words have no order, so each stands for itself.
  if (first === last || from === undefined || to === undefined)
    return all.slice(first, last + 1).map((cell) => cellLabel(cell, words))
  const high = words.withUnit(to, unit)
  const range = words.say(m.valuesBetween, { low: words.withUnit(from, undefined), high })
  if (first > 0)
    return [next === undefined ? words.say(m.valuesFrom, { limit: words.withUnit(from, unit) }) : range]
  if (next === undefined) return [range]
  // Of the two values beside the border the rounder one is mostly the limit that the author wrote.
  return String(next).length < String(to).length
    ? [words.say(m.valuesBelow, { limit: words.withUnit(next, unit) })]
    : [words.say(m.valuesUpTo, { limit: high })]
}
