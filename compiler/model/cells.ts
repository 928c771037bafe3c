import { type CellIndex, type Table, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { withUnit } from "../wording/figures.ts"
import { type ExactGrid, spellAt } from "./grid.ts"
import { complement, type Intervals } from "./intervals.ts"
import type { Cell, CellSet, Threshold } from "./model.ts"

/** What a reading can come out as, and where the conditions read so far cut it. */
export interface Domain {
  /** Of a quantity; absent for a choice. */
  readonly grid?: ExactGrid
  /** Of a choice; absent for a quantity. */
  readonly values?: readonly string[]
  /** Number of values. */
  readonly count: number
  /** Indexes before which a cell ends, 0 and `count` never among them. */
  readonly cuts: Set<number>
  /** Indexes of grid values that a condition names, for labels in the author's own numbers. */
  readonly limits: Set<number>
  /** The same limits as written, whether or not they are on the grid. */
  readonly thresholds: Threshold[]
}

/** A choice keeps each value apart, whether or not a condition does. */
export function choiceDomain(values: readonly string[]): Domain {
  const cuts = new Set(values.keys())
  cuts.delete(0)
  return { values, count: values.length, cuts, limits: new Set(), thresholds: [] }
}

export function quantityDomain(grid: ExactGrid): Domain {
  return { grid, count: grid.count, cuts: new Set(), limits: new Set(), thresholds: [] }
}

/** As it is now: what is marked in one leaves the other. */
export function copyOf(domain: Domain): Domain {
  const { cuts, limits, thresholds } = domain
  return { ...domain, cuts: new Set(cuts), limits: new Set(limits), thresholds: [...thresholds] }
}

/** Notes that a condition tells the values of `intervals` from the others. */
export function markCuts(domain: Domain, intervals: Intervals): void {
  for (const [first, last] of intervals) {
    if (first > 0) domain.cuts.add(first)
    if (last + 1 < domain.count) domain.cuts.add(last + 1)
  }
}

/** A domain with all its conditions read: its cells, and the index at which each begins. */
export interface CutDomain {
  readonly domain: Domain
  readonly cells: Table<CellIndex, Cell>
  readonly starts: readonly number[]
}

/**
 * The cells of the reference's formulas.md, "Findings and cells": the largest runs of values that no marked condition tells apart, in
 * order of value. Every cell holds at least one value.
 */
export function cut(domain: Domain): CutDomain {
  const starts = [0, ...[...domain.cuts].sort((a, b) => a - b)]
  const cells = starts.map((first, i): Cell => {
    const last = (starts[i + 1] ?? domain.count) - 1
    const { grid, values = [] } = domain
    if (grid === undefined) return { label: at(values, first), weight: 1, value: at(values, first) }
    return { label: label(grid, domain.limits, first, last), weight: last - first + 1, first, last }
  })
  return { domain, cells: tableOf(cells), starts }
}

/** The cells that `intervals` is made of; every end of a run must have been marked. */
export function cellsIn(cut: CutDomain, intervals: Intervals): CellSet {
  const set = cut.cells.map(() => false)
  for (const [from, to] of cellIntervals(cut, intervals)) set.fill(true, from, to + 1)
  return set
}

/** The same as runs of cells, first and last. */
export function cellIntervals(cut: CutDomain, intervals: Intervals): Intervals {
  return intervals.map(([first, last]) => [cellOf(cut, first), cellOf(cut, last)])
}

/** The cell of an index, by binary search. */
export function cellOf(cut: CutDomain, index: number): number {
  let low = 0
  let high = cut.starts.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (at(cut.starts, middle) <= index) low = middle
    else high = middle - 1
  }
  return low
}

/** The other values of a domain. */
export function complementIn(domain: Domain, intervals: Intervals): Intervals {
  return complement(intervals, domain.count)
}

/**
 * What a technician reads: `below 15 V`, `22.8 to 25.2 V`, `above 27 V`. At the ends of the range the limit named is the
 * one that the author wrote: `below 9 V` for the values up to 8.99, but `up to 9 V` where `at most 9 V` drew the line.
 */
function label(grid: ExactGrid, limits: ReadonlySet<number>, first: number, last: number): string {
  const low = spellAt(grid, first)
  const high = withUnit(spellAt(grid, last), grid.unit)
  const opens = first === 0
  const closes = last === grid.count - 1
  if (first === last) return high
  if (opens === closes) return `${low} to ${high}`
  const limit = opens ? last + 1 : first - 1
  if (!limits.has(limit)) return opens ? `up to ${high}` : `from ${withUnit(low, grid.unit)}`
  return `${opens ? "below" : "above"} ${withUnit(spellAt(grid, limit), grid.unit)}`
}
