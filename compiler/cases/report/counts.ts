/** What is counted over walks: plain data, so that the counts of several workers can be joined. */

import type { Graph } from "../../run/graph.ts"
import type { FaultIndex, PlaceIndex } from "../../run/indexes.ts"
import { addTo, at } from "../../run/lookup.ts"
import type { RepairAction } from "../record/case.ts"
import { type Ends, noEnds } from "../replay/ends.ts"
import { Reliability, type ReliabilitySums } from "../stats/brier.ts"
import { PairedMeans, type PairedSums } from "../stats/paired-means.ts"
import type { EndingCounts, Mistake, NotedCase } from "./report.ts"

/** Lists hold no more than this; how many there were is counted. */
export const MOST_LISTED = 1000

type Mutable<T> = { -readonly [K in keyof T]: T[K] }

export interface FaultEndings extends Mutable<EndingCounts> {
  inVain: number
}

/** Plain counts, which are joined by adding. */
export interface Totals {
  cases: number
  cameBack: number
  notWorthRepairing: number
  unconfirmed: number
  unlisted: number
  twoFaults: number
  rightly: number
  handedOverSuspected: number
  inVainCases: number
  inVainParts: number
  inVainMoney: number
  bought: number
  advised: number
  inferredCases: number
  inferredSteps: number
  mistakesInAll: number
  notedInAll: number
}

export interface Counts {
  readonly totals: Totals
  readonly decided: FaultEndings
  readonly ends: Ends
  /** By fault of the graph. */
  readonly faults: FaultEndings[]
  /** By edge of the graph. */
  readonly taken: Float64Array
  /** By node of the graph: what was found there fits nothing that can be wrong. */
  readonly strayed: Float64Array
  /** By `repairNumber`: times that it was made, and times that nothing confirmed was there. */
  readonly repaired: Float64Array
  readonly vain: Float64Array
  /** By rule: cases on whose walk it acted. */
  readonly rules: Float64Array
  mistakes: Mistake[]
  noted: NotedCase[]
}

const noEndings = (): FaultEndings => ({
  cases: 0,
  fixed: 0,
  comesBack: 0,
  handedOver: 0,
  open: 0,
  inVain: 0,
})

export function noCounts(sizes: {
  readonly faults: number
  readonly edges: number
  readonly nodes: number
  readonly repairs: number
  readonly rules: number
}): Counts {
  return {
    totals: {
      cases: 0,
      cameBack: 0,
      notWorthRepairing: 0,
      unconfirmed: 0,
      unlisted: 0,
      twoFaults: 0,
      rightly: 0,
      handedOverSuspected: 0,
      inVainCases: 0,
      inVainParts: 0,
      inVainMoney: 0,
      bought: 0,
      advised: 0,
      inferredCases: 0,
      inferredSteps: 0,
      mistakesInAll: 0,
      notedInAll: 0,
    },
    decided: noEndings(),
    ends: noEnds(),
    faults: Array.from({ length: sizes.faults }, noEndings),
    taken: new Float64Array(sizes.edges),
    strayed: new Float64Array(sizes.nodes),
    repaired: new Float64Array(sizes.repairs),
    vain: new Float64Array(sizes.repairs),
    rules: new Float64Array(sizes.rules),
    mistakes: [],
    noted: [],
  }
}

/** Each repair that a graph's places and faults allow has a number: to keep a part, to replace it, to fix a fault. */
export function repairNumber({ places }: Graph, repair: RepairAction): number {
  if (repair.do === "fix") return 2 * places.length + repair.fault
  return (repair.do === "replace" ? places.length : 0) + repair.part
}

export function numberOfRepairs({ places, faults }: Graph): number {
  return 2 * places.length + faults.length
}

export function repairOf({ places: { length } }: Graph, number: number): RepairAction {
  if (number < length) return { do: "keep", part: number as PlaceIndex }
  return number < 2 * length
    ? { do: "replace", part: (number - length) as PlaceIndex }
    : { do: "fix", fault: (number - 2 * length) as FaultIndex }
}

/** Keeps a list of cases within its bound: those that came back before the others, the first in the file first. */
export function addBounded<T extends { readonly cameBack: boolean; readonly line: number }>(
  list: T[],
  item: T,
): void {
  if (list.length >= MOST_LISTED) {
    const last = item.cameBack ? list.findLastIndex(({ cameBack }) => !cameBack) : -1
    if (last < 0) return
    list.splice(last, 1)
  }
  list.push(item)
}

/** All that a tally has gathered. */
export interface TallyData {
  readonly counts: Counts
  readonly minutes: PairedSums
  readonly spent: PairedSums
  readonly total: PairedSums
  readonly repairs: ReliabilitySums
  readonly closings: ReliabilitySums
}

export interface Gathered {
  readonly counts: Counts
  readonly minutes: PairedMeans
  readonly spent: PairedMeans
  readonly total: PairedMeans
  readonly repairs: Reliability
  readonly closings: Reliability
}

export function nothingGathered(counts: Counts): Gathered {
  return {
    counts,
    minutes: new PairedMeans(),
    spent: new PairedMeans(),
    total: new PairedMeans(),
    repairs: new Reliability(),
    closings: new Reliability(),
  }
}

/** Adds `other` to `into`; the graph must be the same. */
export function join(into: Gathered, other: TallyData): void {
  for (const key of ["minutes", "spent", "total"] as const) into[key].join(other[key])
  for (const key of ["repairs", "closings"] as const) into[key].join(other[key])
  const { counts } = into
  add(counts.totals, other.counts.totals)
  add(counts.ends, other.counts.ends)
  add(counts.decided, other.counts.decided)
  other.counts.faults.forEach((fault, i) => {
    add(at(counts.faults, i), fault)
  })
  for (const key of ["taken", "strayed", "repaired", "vain", "rules"] as const)
    other.counts[key].forEach((n, i) => {
      addTo(counts[key], i, n)
    })
  counts.mistakes = first(counts.mistakes, other.counts.mistakes)
  counts.noted = first(counts.noted, other.counts.noted)
}

function add<T extends { [key in keyof T]: number }>(into: T, other: T): void {
  for (const key of Object.keys(into) as (keyof T)[]) (into[key] as number) += other[key]
}

function first<T extends { readonly cameBack: boolean; readonly line: number }>(
  a: readonly T[],
  b: readonly T[],
): T[] {
  return [...a, ...b]
    .sort((x, y) => Number(y.cameBack) - Number(x.cameBack) || x.line - y.line)
    .slice(0, MOST_LISTED)
    .sort((x, y) => x.line - y.line)
}
