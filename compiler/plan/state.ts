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
    while (at > 0 && this.isAfter(at - 1, id, memory)) at--
    if (at > 0 && this.ids[at - 1] === id && this.memories[at - 1] === memory) {
      this.weights[at - 1]! += weight
      return
    }
    if (this.size === this.ids.length) this.grow()
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

  /** The state with these hypotheses, scaled to sum 1. */
  state(job: Job): State {
    const weights = this.weights.slice(0, this.size)
    for (let k = 0; k < weights.length; k++) weights[k]! /= this.total
    return { job, ids: this.ids.slice(0, this.size), memories: this.memories.slice(0, this.size), weights }
  }

  private isAfter(at: number, id: number, memory: number): boolean {
    return this.ids[at]! > id || (this.ids[at] === id && this.memories[at]! > memory)
  }

  private grow(): void {
    const [ids, memories, weights] = [this.ids, this.memories, this.weights]
    this.ids = new Int32Array(2 * this.size)
    this.memories = new Int32Array(2 * this.size)
    this.weights = new Float64Array(2 * this.size)
    this.ids.set(ids)
    this.memories.set(memories)
    this.weights.set(weights)
  }
}
