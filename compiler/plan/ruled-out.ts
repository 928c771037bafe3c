import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import { actsOn } from "./eliminate.ts"
import { allOf, maskOf } from "./fault-states.ts"
import type { KnownStateCosts } from "./known-state.ts"
import type { Memories } from "./memory.ts"
import { type Elimination, type Problem, readingsIn } from "./problem.ts"
import type { Readings } from "./readings.ts"

/** A cell of less chance doesn't save a hypothesis, since several such chances make a sum that counts as 0. */
const CLEARLY = 1e-5

/** A rule that takes more than this is one that takes all. */
const NEARLY_ALL = 0.9999

/** More memories than a search has room for; as a factor it keeps states and memories apart. */
const MOST_MEMORIES = 2 ** 32

/** A condition that could come to strike a whole hypothesis while these of its faults are active. */
interface Risk {
  readonly condition: Condition
  readonly active: number
  /** What the job may still cost then, which is lost to the bound. */
  readonly loss: number
}

/** What is known of the rules and nevers of one state of the machine. */
interface Risks {
  /** A finding may leave nothing at once. */
  readonly isSudden: boolean
  readonly risks: readonly Risk[]
  /** By reading: what of its chances is left at least where conditions take of them. */
  readonly left: Float64Array
}

const HARMLESS: Risks = { isSudden: false, risks: [], left: new Float64Array(0) }

/**
 * What rules and nevers can cost a bound: how likely it is at most that they take a whole hypothesis out of the belief,
 * or shift what an action cures, times what the job may still cost then. Before that it has cost as if they weren't.
 *
 * A finding drawn anew never leaves nothing, if each reading has a cell, possible whatever is active, that makes every
 * condition on it false. What remains: a reading taken again repeats a cell that was found with other faults active,
 * and only now stands; and where a condition mixes told questions with readings, what was told in between. Both need a
 * condition that is true, and each of its readings is drawn once for each set of its speaking faults. A fault that is
 * inactive becomes active again only if its part was swapped.
 */
export class RuledOut {
  readonly #problem: Problem
  readonly #readings: Readings
  readonly #memories: Memories
  readonly #known: (Risks | undefined)[] = []
  /** By state and memory: a hypothesis comes up in many states of the search. */
  readonly #losses = new Map<number, number>()
  readonly #hasNone: boolean
  /** By fault: 1 where its part may be swapped, and put back. */
  readonly #returns: Uint8Array
  readonly #costs: KnownStateCosts
  /** By test: rules that take a part, and ask for something that it reads. */
  readonly #partial: readonly (readonly Elimination[])[]
  readonly #asked = new Map<Condition, ReadonlySet<number>>()

  constructor(problem: Problem, readings: Readings, memories: Memories, costs: KnownStateCosts) {
    this.#problem = problem
    this.#costs = costs
    this.#returns = Uint8Array.from(problem.place, (place) =>
      problem.steps.some(({ kind, parts }) => kind === "swaps" && parts.includes(place)) ? 1 : 0,
    )
    this.#readings = readings
    this.#memories = memories
    const partial = problem.rules.filter(({ chance }) => chance <= NEARLY_ALL)
    this.#partial = problem.model.tests.map(({ reads }) =>
      partial.filter(({ condition }) => reads.some((r) => this.#readingsIn(condition).has(r))),
    )
    this.#hasNone = problem.rules.length + problem.nevers.length === 0
  }

  /** An upper bound on that expected loss for a hypothesis of this state and memory, money; infinite where nothing counts. */
  loss(state: number, memory: number): number {
    if (this.#hasNone) return 0
    this.#known[state] ??= this.#risksOf(state)
    const { isSudden, risks, left } = this.#known[state]!
    if (isSudden) return Number.POSITIVE_INFINITY
    if (risks.length === 0) return 0
    const key = state * MOST_MEMORIES + memory
    const known = this.#losses.get(key)
    if (known !== undefined) return known
    let sum = 0
    for (const { condition, active, loss } of risks)
      sum += loss * this.#comesTrue(condition, false, { state, active, memory, left })
    this.#losses.set(key, sum)
    return sum
  }

  /** The chance itself, at most. */
  chance(state: number, memory: number): number {
    if (this.#hasNone) return 0
    this.#known[state] ??= this.#risksOf(state)
    const { isSudden, risks, left } = this.#known[state]!
    if (isSudden) return 1
    let sum = 0
    for (const { condition, active } of risks)
      sum += this.#comesTrue(condition, false, { state, active, memory, left })
    return Math.min(1, sum)
  }

  /** At most, the chance that a condition is ever true, or false where `negated`. */
  #comesTrue(
    c: Condition,
    negated: boolean,
    at: { state: number; active: number; memory: number; left: Float64Array },
  ): number {
    if (c.kind === "not") return this.#comesTrue(c.item, !negated, at)
    if (c.kind === "in") return this.#drawn(c.reading, c.cells, negated, at)
    const all = (c.kind === "and") !== negated
    let chance = all ? 1 : 0
    for (const item of c.items) {
      const each = this.#comesTrue(item, negated, at)
      chance = all ? Math.min(chance, each) : Math.min(1, chance + each)
    }
    return chance
  }

  #drawn(
    reading: number,
    cells: readonly boolean[],
    negated: boolean,
    { state, active, memory, left }: { state: number; active: number; memory: number; left: Float64Array },
  ): number {
    const { told } = this.#problem.model.readings[reading]!
    const speaking = told ? 0 : this.#readings.speaking(reading, state)
    const cell = this.#memories.repeated(memory, reading, speaking, active)
    if (cell >= 0) return cells[cell] !== negated ? 1 : 0
    let chance = 0
    this.#readings.distribution(reading, state, active).forEach((each, i) => {
      if (cells[i] !== negated) chance += each
    })
    return chance === 0 ? 0 : Math.min(1, chance / left[reading]!)
  }

  #risksOf(state: number): Risks {
    const { rules, nevers, states } = this.#problem
    const all = allOf(states, state)
    const touching = rules.filter((rule) => this.#touches(rule, state))
    const strict = [
      ...touching.filter(({ chance }) => chance > NEARLY_ALL).map(({ condition }) => condition),
      ...nevers,
    ]
    if (touching.length + nevers.length === 0) return HARMLESS
    const wayOut = this.#wayOut(state, strict)
    const asked = new Set(strict.flatMap((condition) => [...this.#readingsIn(condition)]))
    const isSudden = [...asked].some((reading) => wayOut[reading]! < CLEARLY)
    const risks: Risk[] = []
    for (let active = 0; active <= all; active++) {
      if ((active & ~all) !== 0) continue
      for (const rule of touching) {
        const isStrict = rule.chance > NEARLY_ALL || isMixed(this.#problem, rule.condition)
        if (isStrict && actsOn(this.#problem, rule, state, active))
          this.#add(risks, rule.condition, state, active)
      }
      for (const never of nevers) this.#add(risks, never, state, active)
    }
    return { isSudden, risks, left: this.#leftOf(wayOut, touching) }
  }

  #add(risks: Risk[], condition: Condition, state: number, active: number): void {
    if (!this.#canComeTrue(condition, state, active)) return
    const all = allOf(this.#problem.states, state)
    const returns = maskOf(this.#problem.states, state, this.#returns)
    let loss = 0
    // Faults that aren't active are cured, or in a part that is out of the machine.
    for (let out = 0; out <= all; out++) {
      if ((out & ~(all & ~active & returns)) !== 0) continue
      loss = Math.max(loss, this.#costs.remaining(state, active | out, out))
    }
    risks.push({ condition, active, loss })
  }

  /** Whether a condition can come true without a finding that is drawn anew: see above. */
  #canComeTrue(condition: Condition, state: number, active: number): boolean {
    const all = allOf(this.#problem.states, state)
    const returns = maskOf(this.#problem.states, state, this.#returns)
    const readings = [...this.#readingsIn(condition)].filter((r) => !this.#problem.model.readings[r]!.told)
    for (let before = 0; before <= all; before++) {
      const changed = before ^ active
      if ((before & ~all) !== 0 || changed === 0) continue
      const isReached = (active & ~before & ~returns) === 0
      if (isReached && readings.some((r) => (changed & this.#readings.speaking(r, state)) === 0)) return true
      if (isMixed(this.#problem, condition) && (changed & ~returns) === 0) return true
    }
    return false
  }

  /** Whether a rule acts on hypotheses of this state, whatever is active. */
  #touches(rule: Elimination, state: number): boolean {
    const all = allOf(this.#problem.states, state)
    for (let active = 0; active <= all; active++)
      if ((active & ~all) === 0 && actsOn(this.#problem, rule, state, active)) return true
    return false
  }

  /** By reading: the chance, whatever is active, of cells with which none of these conditions can be true. */
  #wayOut(state: number, conditions: readonly Condition[]): Float64Array {
    const all = allOf(this.#problem.states, state)
    const view = new Int32Array(this.#problem.model.readings.length).fill(-1)
    const asking = new Map<number, Condition[]>()
    for (const condition of conditions)
      for (const reading of this.#readingsIn(condition)) {
        const others = asking.get(reading)
        if (others) others.push(condition)
        else asking.set(reading, [condition])
      }
    return Float64Array.from(this.#problem.model.readings, ({ cells }, reading) => {
      const about = asking.get(reading)
      if (about === undefined) return 1
      const isFree = cells.map((_, cell) => {
        view[reading] = cell
        return about.every((condition) => evaluate(condition, view) === FALSE)
      })
      view[reading] = -1
      let least = 1
      for (let active = 0; active <= all; active++) {
        if ((active & ~all) !== 0) continue
        const chances = this.#readings.distribution(reading, state, active)
        least = Math.min(
          least,
          chances.reduce((sum, chance, cell) => (isFree[cell] ? sum + chance : sum), 0),
        )
      }
      return least
    })
  }

  /** By reading: what is left at least of the outcomes of a test that takes it. */
  #leftOf(wayOut: Float64Array, touching: readonly Elimination[]): Float64Array {
    const { tests, readings } = this.#problem.model
    const acting = new Set(touching)
    const least = new Float64Array(readings.length).fill(1)
    for (const [test, { reads }] of tests.entries()) {
      let left = 1
      for (const r of reads) left *= wayOut[r]!
      for (const rule of this.#partial[test]!) if (acting.has(rule)) left *= 1 - rule.chance
      for (const r of reads) least[r] = Math.min(least[r]!, left)
    }
    return least
  }

  #readingsIn(condition: Condition): ReadonlySet<number> {
    let found = this.#asked.get(condition)
    if (found === undefined) {
      found = readingsIn(condition)
      this.#asked.set(condition, found)
    }
    return found
  }
}

function isMixed(problem: Problem, condition: Condition): boolean {
  const told = [...readingsIn(condition)].map((r) => problem.model.readings[r]!.told)
  return told.includes(true) && told.includes(false)
}
