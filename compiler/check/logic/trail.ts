import { numberAt } from "../../run/lookup.ts"
import type { ActivityQueue } from "./activity-queue.ts"

/** `x` and `S` of literals `x ∈ S`, two numbers each, one after the other: variable, mask, variable, mask, … */
export type Literals = readonly number[]

export interface Clause {
  /** The literals at 0 and 2 are the watched ones; a variable occurs once. */
  readonly lits: number[]
  readonly learnt: boolean
  activity: number
  dropped: boolean
}

/**
 * The domains of all variables, as bit masks, and how they came to be: one entry per narrowing, in the order in which it
 * happened, each knowing the domain before it, its reason, and the entry of the same variable before it.
 */
export class Trail {
  readonly domain: number[] = []
  /** The value a variable had last: conflicts tend to stay where they were, so going back there is cheap. */
  readonly saved: number[] = []
  readonly entries: number[] = []
  readonly before: number[] = []
  readonly reasons: (Clause | undefined)[] = []
  /** By level above 0: the entry at which it starts. */
  readonly levels: number[] = []
  /** Entries up to here have been propagated. */
  head = 0
  readonly #previous: number[] = []
  readonly #latest: number[] = []

  variable(full: number): number {
    this.domain.push(full)
    this.saved.push(0)
    this.#latest.push(-1)
    return this.domain.length - 1
  }

  get level(): number {
    return this.levels.length
  }

  narrow(v: number, mask: number, reason: Clause | undefined): void {
    const old = numberAt(this.domain, v)
    const now = old & mask
    if (now === old) return
    this.#previous.push(numberAt(this.#latest, v))
    this.#latest[v] = this.entries.length
    this.entries.push(v)
    this.before.push(old)
    this.reasons.push(reason)
    this.domain[v] = now
  }

  /** Undoes all above a level; what opens up again goes back into the queue. */
  backTo(level: number, queue: ActivityQueue): void {
    if (this.levels.length <= level) return
    const start = numberAt(this.levels, level)
    for (let i = this.entries.length - 1; i >= start; i--) {
      const v = numberAt(this.entries, i)
      const mask = numberAt(this.domain, v)
      if ((mask & (mask - 1)) === 0) this.saved[v] = mask
      this.domain[v] = numberAt(this.before, i)
      this.#latest[v] = numberAt(this.#previous, i)
      queue.put(v)
    }
    this.entries.length = start
    this.before.length = start
    this.reasons.length = start
    this.#previous.length = start
    this.levels.length = level
    this.head = start
  }

  /** The domain of `v` just before the entry `start`. */
  domainAt(v: number, start: number): number {
    let mask = numberAt(this.domain, v)
    for (let i = numberAt(this.#latest, v); i >= start; i = numberAt(this.#previous, i))
      mask = numberAt(this.before, i)
    return mask
  }

  /** The domain of `v` before anything was assumed: values outside of it never come back. */
  startOf(v: number): number {
    return this.domainAt(v, this.levels[0] ?? this.entries.length)
  }

  /** The level at which `v ∈ mask` became false. */
  levelOf(v: number, mask: number): number {
    let i = numberAt(this.#latest, v)
    while (i >= 0 && (numberAt(this.before, i) & mask) === 0) i = numberAt(this.#previous, i)
    return i < 0 ? 0 : this.levelAt(i)
  }

  levelAt(entry: number): number {
    let low = 0
    let high = this.levels.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (numberAt(this.levels, middle) <= entry) low = middle + 1
      else high = middle
    }
    return low
  }

  /** Which of the assumptions, each its level less one, make `v ∈ mask` (the assumption at `level`) false. */
  responsible(v: number, mask: number, level: number): number[] {
    const wanted = new Map([[v, mask]])
    const core = [level]
    for (let i = this.entries.length - 1; i >= (this.levels[0] ?? this.entries.length); i--) {
      const x = numberAt(this.entries, i)
      const want = wanted.get(x) ?? 0
      if ((want & numberAt(this.before, i)) === 0) continue
      const reason = this.reasons[i]
      if (reason === undefined) {
        core.push(this.levelAt(i) - 1)
        // What this assumption alone excludes is explained; the rest was false before it.
        wanted.set(x, want & ~numberAt(this.before, i))
        continue
      }
      for (let k = 0; k < reason.lits.length; k += 2) {
        const y = numberAt(reason.lits, k)
        wanted.set(
          y,
          y === x ? want & numberAt(reason.lits, k + 1) : (wanted.get(y) ?? 0) | numberAt(reason.lits, k + 1),
        )
      }
    }
    return core.sort((a, b) => a - b)
  }
}
