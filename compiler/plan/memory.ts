import { evaluate, TRUE } from "./condition.ts"
import { Interned } from "./interned.ts"
import { PackedList, PackedMap } from "./packed.ts"
import type { Problem } from "./problem.ts"

/** The rules and nevers that are true by the findings that still stand. */
export interface RulesInForce {
  readonly rules: readonly number[]
  readonly isForbidden: boolean
}

/** Findings of one reading, the last one first; of those with the same faults active only the last one. */
interface Log {
  readonly masks: readonly number[]
  readonly cells: readonly number[]
}

const NONE: RulesInForce = { rules: [], isForbidden: false }

/** The memory of a machine that has just come in. */
export const BLANK = 0

/** Fields of a memory in `#fields`: where its logs begin and how many there are, what has acted, its hash, what stands. */
const FROM = 0
const LOGS = 1
const ACTED = 2
const HASH = 3
const STANDING = 4
const FIELDS = 8

/** More rules than a model has room for; as a factor it keeps memories and rules apart. */
const MOST_RULES = 2 ** 20

/**
 * What hypotheses remember of the job: of each reading the cells found and which faults of the state were active then, and
 * the rules that have acted. Memories are interned, so hypotheses with the same history share a number. Which faults they
 * are about doesn't matter here, only which of the (at most two) were active, as a mask.
 *
 * A ruleset of five hundred faults has a million memories, so that they lie packed. A memory has, for each reading that
 * has been taken, its number and that of its log, by reading; and for each mask of active faults the number of what stands
 * then, -1 before anybody has asked.
 */
export class Memories {
  readonly #fields = new PackedList()
  readonly #taken = new PackedList()
  readonly #logs: Log[] = []
  readonly #logBy = new Interned<number>()
  /** Rules that have once taken something, rising. */
  readonly #acted: (readonly number[])[] = []
  readonly #actedBy = new Interned<number>()
  readonly #standings: RulesInForce[] = []
  readonly #standingBy = new Interned<number>()
  /** By hash, and by how many memories before had the same. */
  readonly #numbers = new PackedMap()
  readonly #following = new PackedMap()
  readonly #acting = new PackedMap()
  readonly #problem: Problem
  readonly #isTold: readonly boolean[]
  readonly #cells: number
  readonly #view: Int32Array
  readonly #decides: boolean
  /** The logs of a memory that is being made. */
  readonly #draft: Int32Array

  constructor(problem: Problem) {
    const { readings } = problem.model
    this.#problem = problem
    this.#isTold = readings.map(({ told }) => told)
    this.#cells = readings.reduce((most, { cells }) => Math.max(most, cells.length), 1)
    this.#view = new Int32Array(readings.length)
    this.#draft = new Int32Array(2 * readings.length)
    this.#decides = problem.rules.length + problem.nevers.length > 0
    this.#internLog({ masks: [], cells: [] })
    this.#intern(0, this.#internActed([]), 0)
  }

  /** Memory of the process that all take, about. */
  get bytes(): number {
    const packed = [this.#fields, this.#taken, this.#numbers, this.#following, this.#acting]
    return packed.reduce((sum, { bytes }) => sum + bytes, 0)
  }

  /** The cell that a reading repeats with these of its faults (`speaking`) active; -1 where it is drawn anew. */
  repeated(memory: number, reading: number, speaking: number, active: number): number {
    const log = this.#logOf(memory, reading)
    if (log === 0) return -1
    const { masks, cells } = this.#logs[log]!
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
    const before = this.#logOf(memory, reading)
    const log = this.#logs[before]!
    const masks = [active]
    const cells = [cell]
    log.masks.forEach((mask, i) => {
      if (mask === active) return
      masks.push(mask)
      cells.push(log.cells[i]!)
    })
    const after = this.#internLog({ masks, cells })
    const mixed = this.#field(memory, HASH) ^ mix(reading, before) ^ mix(reading, after)
    const number = this.#intern(this.#draftWith(memory, reading, after), this.#field(memory, ACTED), mixed)
    this.#following.add(key, number)
    return number
  }

  /** The memory after a rule has taken something. */
  act(memory: number, rule: number): number {
    const key = memory * MOST_RULES + rule
    const known = this.#acting.get(key)
    if (known !== undefined) return known
    const before = this.#acted[this.#field(memory, ACTED)]!
    const acted = this.#internActed([...before, rule].sort((a, b) => a - b))
    const number = this.#intern(this.#draftOf(memory), acted, this.#field(memory, HASH) ^ mix(-1, rule + 1))
    this.#acting.add(key, number)
    return number
  }

  hasActed(memory: number, rule: number): boolean {
    return this.#acted[this.#field(memory, ACTED)]!.includes(rule)
  }

  /** What is true by the findings that still stand while these faults are active. */
  standing(memory: number, active: number): RulesInForce {
    if (!this.#decides) return NONE
    const at = FIELDS * memory + STANDING + active
    const known = this.#fields.at(at)
    if (known >= 0) return this.#standings[known]!
    const number = this.#work(memory, active)
    this.#fields.set(at, number)
    return this.#standings[number]!
  }

  #work(memory: number, active: number): number {
    const view = this.#view
    view.fill(-1)
    const from = this.#field(memory, FROM)
    const to = from + 2 * this.#field(memory, LOGS)
    for (let at = from; at < to; at += 2) {
      const r = this.#taken.at(at)
      const { masks, cells } = this.#logs[this.#taken.at(at + 1)]!
      if (this.#isTold[r] || masks[0] === active) view[r] = cells[0]!
    }
    const rules: number[] = []
    this.#problem.rules.forEach((rule, i) => {
      if (evaluate(rule.condition, view) === TRUE) rules.push(i)
    })
    const isForbidden = this.#problem.nevers.some((never) => evaluate(never, view) === TRUE)
    return this.#standingBy.of(`${rules.join()};${isForbidden}`, (number) => {
      this.#standings.push(rules.length > 0 || isForbidden ? { rules, isForbidden } : NONE)
      return number
    })
  }

  #field(memory: number, field: number): number {
    return this.#fields.at(FIELDS * memory + field)
  }

  /** The number of a reading's log; 0 where it hasn't been taken. */
  #logOf(memory: number, reading: number): number {
    const from = this.#field(memory, FROM)
    const to = from + 2 * this.#field(memory, LOGS)
    for (let at = from; at < to; at += 2) {
      const each = this.#taken.at(at)
      if (each >= reading) return each === reading ? this.#taken.at(at + 1) : 0
    }
    return 0
  }

  /** Fills `#draft` with the logs of a memory; returns how many there are. */
  #draftOf(memory: number): number {
    const from = this.#field(memory, FROM)
    const count = this.#field(memory, LOGS)
    for (let i = 0; i < 2 * count; i++) this.#draft[i] = this.#taken.at(from + i)
    return count
  }

  /** The same with another log of one reading. */
  #draftWith(memory: number, reading: number, log: number): number {
    const draft = this.#draft
    const count = this.#draftOf(memory)
    let at = 0
    while (at < 2 * count && draft[at]! < reading) at += 2
    const isNew = at === 2 * count || draft[at] !== reading
    if (isNew) draft.copyWithin(at + 2, at, 2 * count)
    draft[at] = reading
    draft[at + 1] = log
    return isNew ? count + 1 : count
  }

  #internLog(log: Log): number {
    return this.#logBy.of(`${log.masks.join()};${log.cells.join()}`, (number) => {
      this.#logs.push(log)
      return number
    })
  }

  #internActed(rules: readonly number[]): number {
    return this.#actedBy.of(rules.join(), (number) => {
      this.#acted.push(rules)
      return number
    })
  }

  /** The number of the memory with so many logs, in `#draft`, and these rules. */
  #intern(count: number, acted: number, hash: number): number {
    let alike = 0
    for (;;) {
      const number = this.#numbers.get((hash >>> 0) + alike * 2 ** 32)
      if (number === undefined) break
      if (this.#field(number, ACTED) === acted && this.#isDraft(number, count)) return number
      alike++
    }
    const number = this.#fields.size / FIELDS
    for (const field of [this.#taken.size, count, acted, hash, -1, -1, -1, -1]) this.#fields.push(field)
    for (let i = 0; i < 2 * count; i++) this.#taken.push(this.#draft[i]!)
    this.#numbers.add((hash >>> 0) + alike * 2 ** 32, number)
    return number
  }

  #isDraft(memory: number, count: number): boolean {
    if (this.#field(memory, LOGS) !== count) return false
    const from = this.#field(memory, FROM)
    for (let i = 0; i < 2 * count; i++) if (this.#taken.at(from + i) !== this.#draft[i]) return false
    return true
  }
}

/** Spreads a pair of small numbers over 32 bits; 0 for a reading without a log, so that the blank memory hashes to 0. */
function mix(key: number, value: number): number {
  if (value === 0) return 0
  let h = Math.imul(key + 0x9e37, 0x85ebca6b) ^ Math.imul(value, 0xc2b2ae35)
  h = Math.imul(h ^ (h >>> 15), 0x27d4eb2f)
  return h ^ (h >>> 13)
}
