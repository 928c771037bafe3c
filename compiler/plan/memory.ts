import { evaluate, TRUE } from "./condition.ts"
import type { Problem } from "./problem.ts"

/**
 * What a hypothesis remembers of the job: of each reading the cells found and which faults of its state were active
 * then, and the rules that have acted on it. Memories are interned, so hypotheses with the same history share a number.
 * Which faults they are about doesn't matter here, only which of the (at most two) were active, as a mask.
 */
interface Memory {
  /** Readings that have been taken, rising, each followed by the number of its log: few of all there are. */
  readonly logs: Int32Array
  /** Rules that have once taken something, rising. */
  readonly acted: readonly number[]
  /** Exclusive or over the logs and rules, so that it follows a change of one. */
  readonly hash: number
  /** By mask of the faults that are active: what the findings that still stand bring about. */
  readonly standing: (Standing | undefined)[]
}

/** The rules and nevers that are true by the findings that still stand. */
export interface Standing {
  readonly rules: readonly number[]
  readonly isForbidden: boolean
}

/** Findings of one reading, the last one first; of those with the same faults active only the last one. */
interface Log {
  readonly masks: readonly number[]
  readonly cells: readonly number[]
}

const NONE: Standing = { rules: [], isForbidden: false }

/** The memory of a machine that has just come in. */
export const BLANK = 0

export class Memories {
  readonly #memories: Memory[] = []
  readonly #logs: Log[] = [{ masks: [], cells: [] }]
  readonly #numberOfLog = new Map<string, number>([["", 0]])
  /** By hash: the memories that have it. */
  readonly #numbersOf = new Map<number, number[]>()
  readonly #following = new Map<number, number>()
  readonly #problem: Problem
  readonly #isTold: readonly boolean[]
  readonly #cells: number
  readonly #view: Int32Array
  readonly #decides: boolean

  constructor(problem: Problem) {
    const { readings } = problem.model
    this.#problem = problem
    this.#isTold = readings.map(({ told }) => told)
    this.#cells = readings.reduce((most, { cells }) => Math.max(most, cells.length), 1)
    this.#view = new Int32Array(readings.length)
    this.#decides = problem.rules.length + problem.nevers.length > 0
    this.#intern(new Int32Array(0), [], 0)
  }

  /** The cell that a reading repeats with these of its faults (`speaking`) active; -1 where it is drawn anew. */
  repeated(memory: number, reading: number, speaking: number, active: number): number {
    const { masks, cells } = this.#logs[logOf(this.#memories[memory]!.logs, reading)]!
    for (let i = 0; i < masks.length; i++) {
      if (((masks[i]! ^ active) & speaking) === 0) return cells[i]!
    }
    return -1
  }

  /** The memory after a finding that was made with these faults active. */
  take(memory: number, reading: number, cell: number, active: number): number {
    const { readings } = this.#problem.model
    const key = ((memory * readings.length + reading) * this.#cells + cell) * 4 + active
    const known = this.#following.get(key)
    if (known !== undefined) return known
    const { logs, acted, hash } = this.#memories[memory]!
    const before = logOf(logs, reading)
    const log = this.#logs[before]!
    const masks = [active]
    const cells = [cell]
    log.masks.forEach((mask, i) => {
      if (mask === active) return
      masks.push(mask)
      cells.push(log.cells[i]!)
    })
    const after = this.#internLog({ masks, cells })
    const mixed = hash ^ mix(reading, before) ^ mix(reading, after)
    const number = this.#intern(withLog(logs, reading, after), acted, mixed)
    this.#following.set(key, number)
    return number
  }

  /** The memory after a rule has taken something. */
  act(memory: number, rule: number): number {
    const { logs, acted, hash } = this.#memories[memory]!
    return this.#intern(
      logs,
      [...acted, rule].sort((a, b) => a - b),
      hash ^ mix(-1, rule + 1),
    )
  }

  hasActed(memory: number, rule: number): boolean {
    return this.#memories[memory]!.acted.includes(rule)
  }

  /** What is true by the findings that still stand while these faults are active. */
  standing(memory: number, active: number): Standing {
    if (!this.#decides) return NONE
    const here = this.#memories[memory]!
    const known = here.standing[active]
    if (known !== undefined) return known
    const view = this.#view
    const isTold = this.#isTold
    const logs = this.#logs
    view.fill(-1)
    for (let at = 0; at < here.logs.length; at += 2) {
      const r = here.logs[at]!
      const { masks, cells } = logs[here.logs[at + 1]!]!
      if (isTold[r] || masks[0] === active) view[r] = cells[0]!
    }
    const rules: number[] = []
    this.#problem.rules.forEach((rule, i) => {
      if (evaluate(rule.condition, view) === TRUE) rules.push(i)
    })
    const isForbidden = this.#problem.nevers.some((never) => evaluate(never, view) === TRUE)
    const made = rules.length > 0 || isForbidden ? { rules, isForbidden } : NONE
    here.standing[active] = made
    return made
  }

  #internLog(log: Log): number {
    const key = `${log.masks.join()};${log.cells.join()}`
    const known = this.#numberOfLog.get(key)
    if (known !== undefined) return known
    this.#numberOfLog.set(key, this.#logs.length)
    return this.#logs.push(log) - 1
  }

  #intern(logs: Int32Array, acted: readonly number[], hash: number): number {
    const alike = this.#numbersOf.get(hash) ?? []
    const known = alike.find((number) => {
      const other = this.#memories[number]!
      return isSame(logs, other.logs) && isSame(acted, other.acted)
    })
    if (known !== undefined) return known
    const number = this.#memories.push({ logs, acted, hash, standing: [] }) - 1
    if (alike.push(number) === 1) this.#numbersOf.set(hash, alike)
    return number
  }
}

/** The number of a reading's log; 0 where it hasn't been taken. */
function logOf(logs: Int32Array, reading: number): number {
  for (let at = 0; at < logs.length; at += 2)
    if (logs[at]! >= reading) return logs[at] === reading ? logs[at + 1]! : 0
  return 0
}

function withLog(logs: Int32Array, reading: number, log: number): Int32Array {
  let at = 0
  while (at < logs.length && logs[at]! < reading) at += 2
  const isNew = logs[at] !== reading
  const next = new Int32Array(logs.length + (isNew ? 2 : 0))
  next.set(logs.subarray(0, at))
  next[at] = reading
  next[at + 1] = log
  next.set(logs.subarray(isNew ? at : at + 2), at + 2)
  return next
}

/** Spreads a pair of small numbers over 32 bits; 0 for a reading without a log, so that the blank memory hashes to 0. */
function mix(key: number, value: number): number {
  if (value === 0) return 0
  let h = Math.imul(key + 0x9e37, 0x85ebca6b) ^ Math.imul(value, 0xc2b2ae35)
  h = Math.imul(h ^ (h >>> 15), 0x27d4eb2f)
  return h ^ (h >>> 13)
}

function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false
  return true
}
