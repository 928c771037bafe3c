/** What is counted over walks: plain data, so that counts made apart, by several workers, can be joined. */

import type { Ends } from "../replay/continue-open.ts"
import { Reliability, type ReliabilitySums } from "../stats/brier.ts"
import { PairedMeans, type PairedSums } from "../stats/paired-means.ts"
import type { Mistake, Noted } from "./report.ts"

/** Lists hold no more than this; how many there were is counted. */
export const most = 1000

export interface Endings {
  cases: number
  remedy: number
  named: number
  wrong: number
  handover: number
  open: number
}

export interface Counts {
  cases: number
  cameBack: number
  unconfirmed: number
  unlisted: number
  decided: Endings
  inCandidates: number
  wrongListed: number
  handoverListed: number
  advised: number
  ends: Ends
  inferredCases: number
  inferredSteps: number
  /** By fault of the graph. */
  faults: Endings[]
  /** By edge of the graph. */
  taken: Float64Array
  /** By rule: cases on whose walk it ruled something out. */
  rules: Float64Array
  mistakes: Mistake[]
  mistakesInAll: number
  noted: Noted[]
  notedInAll: number
}

const none = (): Endings => ({ cases: 0, remedy: 0, named: 0, wrong: 0, handover: 0, open: 0 })

export function noCounts(faults: number, edges: number, rules: number): Counts {
  return {
    cases: 0,
    cameBack: 0,
    unconfirmed: 0,
    unlisted: 0,
    decided: none(),
    inCandidates: 0,
    wrongListed: 0,
    handoverListed: 0,
    advised: 0,
    ends: { remedy: 0, wrong: 0, handover: 0, unfollowed: 0 },
    inferredCases: 0,
    inferredSteps: 0,
    faults: Array.from({ length: faults }, none),
    taken: new Float64Array(edges),
    rules: new Float64Array(rules),
    mistakes: [],
    mistakesInAll: 0,
    noted: [],
    notedInAll: 0,
  }
}

/** Keeps a list of cases within its bound: those that came back before the others, the first in the file first. */
export function keep<T extends { readonly cameBack: boolean; readonly line: number }>(
  list: T[],
  item: T,
): void {
  if (list.length >= most) {
    const last = item.cameBack ? list.findLastIndex(({ cameBack }) => !cameBack) : -1
    if (last < 0) return
    list.splice(last, 1)
  }
  list.push(item)
}

/** All that a tally has gathered. */
export interface Sums {
  readonly counts: Counts
  readonly minutes: PairedSums
  readonly work: PairedSums
  readonly total: PairedSums
  readonly reliability: ReliabilitySums
}

export interface Gathered {
  readonly counts: Counts
  readonly minutes: PairedMeans
  readonly work: PairedMeans
  readonly total: PairedMeans
  readonly reliability: Reliability
}

export function gatherer(counts: Counts): Gathered {
  return {
    counts,
    minutes: new PairedMeans(),
    work: new PairedMeans(),
    total: new PairedMeans(),
    reliability: new Reliability(),
  }
}

/** Adds `other` to `into`; the graph must be the same. */
export function join(into: Gathered, other: Sums): void {
  into.minutes.join(other.minutes)
  into.work.join(other.work)
  into.total.join(other.total)
  into.reliability.join(other.reliability)
  const { counts } = into
  const plain = [
    "cases",
    "cameBack",
    "unconfirmed",
    "unlisted",
    "inCandidates",
    "wrongListed",
    "handoverListed",
    "advised",
    "inferredCases",
    "inferredSteps",
    "mistakesInAll",
    "notedInAll",
  ] as const
  for (const key of plain) counts[key] += other.counts[key]
  add(counts.ends, other.counts.ends)
  add(counts.decided, other.counts.decided)
  other.counts.faults.forEach((fault, i) => {
    add(counts.faults[i]!, fault)
  })
  other.counts.taken.forEach((n, edge) => {
    counts.taken[edge]! += n
  })
  other.counts.rules.forEach((n, rule) => {
    counts.rules[rule]! += n
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
    .slice(0, most)
    .sort((x, y) => x.line - y.line)
}
