import { holds } from "./condition.ts"
import type { GraphCondition } from "./graph.ts"
import type {
  CellIndex,
  FaultIndex,
  PlaceIndex,
  ReadingIndex,
  RuleIndex,
  Table,
  TestIndex,
} from "./indexes.ts"
import type { Machine } from "./machine.ts"

/** What everybody at the bench knows of a job after some actions. */
export interface Job {
  /** Number of actions so far, those of earlier jobs of the same machine included. */
  readonly time: number
  /** By reading: when it was taken and what was found, in order. */
  readonly taken: Table<ReadingIndex, readonly TakenReading[]>
  /** The parts now replaced by known-good ones, each with the test that fitted it. */
  readonly fitted: ReadonlyMap<PlaceIndex, TestIndex>
  /** Those of them that were left in after the complaint stayed. */
  readonly leftIn: ReadonlySet<PlaceIndex>
  /** Tests done in this job. */
  readonly done: ReadonlySet<TestIndex>
  /** What was done since the last repair: the test, of a swap with the parts fitted before it. */
  readonly fresh: ReadonlySet<string>
  /** Repairs of this job. */
  readonly repairs: ReadonlySet<string>
  /** Places that something was done to in this job. */
  readonly touched: ReadonlySet<PlaceIndex>
  /** Setups redone in this job. */
  readonly redone: ReadonlySet<PlaceIndex>
  /** What the last look showed; undefined before the first. */
  readonly gone: boolean | undefined
  /** Whether anything has changed the machine since the last look. */
  readonly changed: boolean
  /** Whether `look again` is open. */
  readonly mayLook: boolean
  readonly ended: "closed" | "handed over" | undefined
}

/** A reading once taken. */
export interface TakenReading {
  /** Number of the action. */
  readonly time: number
  readonly cell: CellIndex
  /** The parts that were fitted then. */
  readonly fitted: { has(part: PlaceIndex): boolean }
}

/**
 * A state of the machine, and for each of its faults the action at which it was cured: `Infinity` where it wasn't. One
 * fault is `a`; two are `a` and `b`, in rising order; something not listed has -1 for both.
 */
export interface Hypothesis {
  readonly a: FaultIndex | -1
  readonly b: FaultIndex | -1
  readonly curedA: number
  readonly curedB: number
  /** Chance; those of a belief add up to 1. */
  readonly weight: number
  /** Rules that have taken something from it. */
  readonly acted: readonly RuleIndex[]
}

export interface Belief {
  readonly job: Job
  /** Empty where no state of the machine fits what was found. */
  readonly hypotheses: readonly Hypothesis[]
}

const NEVER_CURED = Number.POSITIVE_INFINITY

/** The belief at intake; `only` leaves out the states without this fault, for questions about it alone. */
export function startBelief(m: Machine, only?: FaultIndex | -1): Belief {
  const { faults, unlisted } = m
  const second = faults.length < 2 ? 0 : m.second
  const odds = faults.map((fault) => fault.odds)
  const sum = odds.reduce((so, w) => so + w, 0)
  const pairs = odds.reduce((so, w, i) => so + w * tail(odds, i + 1), 0)
  const hypotheses: Hypothesis[] = []
  const add = (a: FaultIndex | -1, b: FaultIndex | -1, weight: number) => {
    if (weight > 0 && (only === undefined || a === only || b === only))
      hypotheses.push({ a, b, curedA: NEVER_CURED, curedB: NEVER_CURED, weight, acted: [] })
  }
  faults.forEach((_, a) => {
    add(a, -1, ((1 - second - unlisted) * odds[a]!) / sum)
  })
  if (second > 0 && pairs > 0)
    faults.forEach((_, a) => {
      for (let b = a + 1; b < faults.length; b++)
        add(a, b as FaultIndex, (second * odds[a]! * odds[b]!) / pairs)
    })
  add(-1, -1, unlisted)
  return { job: startJob(m), hypotheses }
}

function tail(list: readonly number[], from: number): number {
  let sum = 0
  for (let i = from; i < list.length; i++) sum += list[i]!
  return sum
}

/** A job of which nothing has been done yet. */
export function startJob(m: Machine): Job {
  return {
    time: 0,
    taken: m.readings.map(() => []),
    fitted: new Map(),
    leftIn: new Set(),
    done: new Set(),
    fresh: new Set(),
    repairs: new Set(),
    touched: new Set(),
    redone: new Set(),
    gone: undefined,
    changed: false,
    mayLook: false,
    ended: undefined,
  }
}

/** Whether it is something not listed. */
export function isUnlisted({ a }: Hypothesis): boolean {
  return a < 0
}

/** Its faults that no action has cured. */
export function uncured({ a, b, curedA, curedB }: Hypothesis): FaultIndex[] {
  return [curedA === NEVER_CURED ? a : -1, curedB === NEVER_CURED ? b : -1].filter(isListed)
}

export function isListed(fault: FaultIndex | -1): fault is FaultIndex {
  return fault >= 0
}

/**
 * The faults that were active at an action: bit 1 for `a`, bit 2 for `b`. What the action itself cured counts as active
 * until then, and so does what it fitted: `fitted` are the parts fitted at that time.
 */
export function activeAt(m: Machine, h: Hypothesis, time: number, fitted: TakenReading["fitted"]): number {
  const { faults } = m
  const a = h.a >= 0 && h.curedA >= time && !fitted.has(faults[h.a]!.place)
  const b = h.b >= 0 && h.curedB >= time && !fitted.has(faults[h.b]!.place)
  return (a ? 1 : 0) | (b ? 2 : 0)
}

/** The faults that are active now, as bits. */
export function activeNow(m: Machine, h: Hypothesis, { time, fitted }: Job): number {
  return activeAt(m, h, time, fitted)
}

/** Whether something is wrong with the machine as it stands, listed or not. */
export function isActive(m: Machine, h: Hypothesis, job: Job): boolean {
  return isUnlisted(h) || activeNow(m, h, job) !== 0
}

/** The last finding of a reading. */
export function lastTaken(job: Job, reading: ReadingIndex): TakenReading | undefined {
  return job.taken[reading]!.at(-1)
}

/** A condition by the last findings, whether they still stand or not; without one it is true, and undefined is unknown. */
export function truthOf(job: Job, condition?: GraphCondition): boolean | undefined {
  return !condition || holds(condition, (reading) => lastTaken(job, reading)?.cell)
}
