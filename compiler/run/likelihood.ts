import { activeAt, activeNow, type Hypothesis, isUnlisted, type Job } from "./belief.ts"
import type { CellIndex, ProofIndex, ReadingIndex } from "./indexes.ts"
import type { Machine } from "./machine.ts"

/**
 * The chance that a reading, taken now, is found in this cell. A reading that was taken with the same of its speaking
 * faults active gives what it gave then.
 */
export function cellChance(
  m: Machine,
  job: Job,
  h: Hypothesis,
  reading: ReadingIndex,
  cell: CellIndex,
): number {
  const speaking = speakers(m, h, reading)
  const { told } = m.readings[reading]!
  const now = told ? speaking : speaking & activeNow(m, h, job)
  const taken = job.taken[reading]!
  for (let i = taken.length - 1; i >= 0; i--) {
    const { time, fitted, cell: found } = taken[i]!
    const then = told ? speaking : speaking & activeAt(m, h, time, fitted)
    if (then === now) return found === cell ? 1 : 0
  }
  return freshChance(m, h, now, reading, cell)
}

/** The faults of a state that speak of a reading, as bits. */
function speakers(m: Machine, { a, b }: Hypothesis, reading: ReadingIndex): number {
  return (a >= 0 && m.shows[a]!.has(reading) ? 1 : 0) | (b >= 0 && m.shows[b]!.has(reading) ? 2 : 0)
}

function freshChance(
  m: Machine,
  h: Hypothesis,
  speaking: number,
  reading: ReadingIndex,
  cell: CellIndex,
): number {
  const { base, healthy, trust } = m.model
  const any = base[reading]![cell]!
  const usual = healthy[reading]![cell]!
  const own = (fault: number) => m.shows[fault]!.get(reading)![cell]!
  const shown = isUnlisted(h)
    ? (usual + any) / 2
    : speaking === 0
      ? usual
      : speaking === 3
        ? (own(h.a) + own(h.b)) / 2
        : own(speaking === 1 ? h.a : h.b)
  const sure = trust[reading]!
  return sure * shown + (1 - sure) * any
}

/** The chance that a try of the complaint doesn't show it, with these faults (bits) active. */
export function missChance(m: Machine, h: Hypothesis, active: number): number {
  if (isUnlisted(h)) return 0
  const { recurs } = m.model
  return (active & 1 ? 1 - recurs[h.a]! : 1) * (active & 2 ? 1 - recurs[h.b]! : 1)
}

/** A proof run. */
export interface Run {
  readonly minutes: number
  /** Tries of the complaint. */
  readonly times: number
  /** What it expects of readings, each read once. */
  readonly expects: ReadonlyMap<ReadingIndex, readonly CellIndex[]>
}

/** The run of these proofs. */
export function runOf(m: Machine, proofs: readonly ProofIndex[]): Run {
  const expects = new Map<ReadingIndex, readonly CellIndex[]>()
  let times = 0
  let minutes = 0
  for (const proof of proofs) {
    const { times: tries, minutes: each, expects: wanted } = m.proofs[proof]!
    times += tries
    minutes += tries * each
    if (!wanted) continue
    const { reading, cells } = wanted
    expects.set(reading, expects.get(reading)?.filter((cell) => cells.includes(cell)) ?? [...new Set(cells)])
  }
  return { minutes, times, expects }
}

/** The chance that a proof run holds. */
export function holdChance(m: Machine, job: Job, h: Hypothesis, { times, expects }: Run): number {
  let chance = missChance(m, h, activeNow(m, h, job)) ** times
  for (const [reading, cells] of expects) {
    let fits = 0
    for (const cell of cells) fits += cellChance(m, job, h, reading, cell)
    chance *= fits
  }
  return chance
}
