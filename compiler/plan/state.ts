import type { Job } from "./job.ts"

/**
 * What is known at one moment of a job: where the job stands, and the hypotheses with their chances. A hypothesis is a
 * state of the machine, which of its faults are cured, and its memory. Only those with weight are kept.
 */
export interface State {
  readonly job: Job
  /** 4 × state + the mask of its cured faults, rising; the same one again with another memory. */
  readonly ids: Int32Array
  readonly memories: Int32Array
  /** Chances; they sum to 1. */
  readonly weights: Float64Array
}

/** Chances below this are rounding. */
export const NO_CHANCE = 1e-15

/** Hypotheses with weights that needn't sum to 1; only the first `size` entries count. */
export interface Weighted {
  readonly ids: Int32Array
  readonly weights: Float64Array
  readonly size: number
}

type Hypotheses = Omit<State, "job">

function fresh(size: number): Hypotheses {
  return { ids: new Int32Array(size), memories: new Int32Array(size), weights: new Float64Array(size) }
}

/** Room for the states of a policy that is followed to its end and forgotten: what was taken after `mark` is free again after `release`. */
export class Scratch {
  mark = 0
  #room = fresh(1 << 14)

  take(size: number): Hypotheses {
    const end = this.mark + size
    // States taken before keep the room that they are in.
    if (end > this.#room.ids.length) this.#room = fresh(2 * end)
    const from = this.mark
    this.mark = end
    const { ids, memories, weights } = this.#room
    return {
      ids: ids.subarray(from, end),
      memories: memories.subarray(from, end),
      weights: weights.subarray(from, end),
    }
  }
}

/** Gathers the hypotheses that an outcome leaves, merging equal ones; they come state by state in rising order. */
export class Gathering implements Weighted {
  ids: Int32Array = new Int32Array(64)
  memories: Int32Array = new Int32Array(64)
  weights: Float64Array = new Float64Array(64)
  size = 0
  total = 0

  clear(): void {
    this.size = 0
    this.total = 0
  }

  add(id: number, memory: number, weight: number): void {
    this.total += weight
    let at = this.size
    while (at > 0 && this.#isAfter(at - 1, id, memory)) at--
    if (at > 0 && this.ids[at - 1] === id && this.memories[at - 1] === memory) {
      this.weights[at - 1]! += weight
      return
    }
    if (this.size === this.ids.length) this.#grow()
    if (at < this.size) {
      this.ids.copyWithin(at + 1, at, this.size)
      this.memories.copyWithin(at + 1, at, this.size)
      this.weights.copyWithin(at + 1, at, this.size)
    }
    this.ids[at] = id
    this.memories[at] = memory
    this.weights[at] = weight
    this.size++
  }

  /** The same of an entry that most likely comes after all that are there. */
  append(id: number, memory: number, weight: number): void {
    const at = this.size
    const isNext =
      at === 0 || this.ids[at - 1]! < id || (this.ids[at - 1] === id && this.memories[at - 1]! < memory)
    if (!isNext || at === this.ids.length) {
      this.add(id, memory, weight)
      return
    }
    this.ids[at] = id
    this.memories[at] = memory
    this.weights[at] = weight
    this.total += weight
    this.size = at + 1
  }

  /** The state with these hypotheses, scaled to sum 1. */
  state(job: Job, scratch?: Scratch): State {
    const { ids, memories, weights } = scratch?.take(this.size) ?? fresh(this.size)
    for (let k = 0; k < this.size; k++) {
      ids[k] = this.ids[k]!
      memories[k] = this.memories[k]!
      weights[k] = this.weights[k]! / this.total
    }
    return { job, ids, memories, weights }
  }

  /** Leaves out those of these that are less likely than this; returns what part of all they were. */
  leaveOut(least: number, isMeant: (id: number) => boolean): number {
    const before = this.total
    let size = 0
    let total = 0
    for (let k = 0; k < this.size; k++) {
      const id = this.ids[k]!
      const weight = this.weights[k]!
      if (weight < least * before && isMeant(id)) continue
      this.ids[size] = id
      this.memories[size] = this.memories[k]!
      this.weights[size] = weight
      total += weight
      size++
    }
    this.size = size
    this.total = total
    return before === 0 ? 0 : 1 - total / before
  }

  #isAfter(at: number, id: number, memory: number): boolean {
    return this.ids[at]! > id || (this.ids[at] === id && this.memories[at]! > memory)
  }

  #grow(): void {
    const { ids, memories, weights } = this
    const wider = fresh(2 * ids.length)
    this.ids = wider.ids
    this.memories = wider.memories
    this.weights = wider.weights
    this.ids.set(ids)
    this.memories.set(memories)
    this.weights.set(weights)
  }
}
