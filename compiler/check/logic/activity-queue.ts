import { numberAt } from "../../run/lookup.ts"

/** A binary heap of variables, the most active first. Holds only what it was filled with. */
export class ActivityQueue {
  readonly #key: readonly number[]
  readonly #heap: number[] = []
  readonly #place: number[] = []
  readonly #member: boolean[] = []
  /** Of equally active ones, those filled in first go first. */
  readonly #rank: number[] = []
  #filled: readonly number[] = []

  /** `key`: activity by variable, read whenever an order is needed. */
  constructor(key: readonly number[]) {
    this.#key = key
  }

  /** Forgets what it held, then takes these in; equal keys keep the order given. */
  fill(variables: readonly number[]): void {
    for (const v of this.#filled) this.#member[v] = false
    for (const v of this.#heap) this.#place[v] = -1
    this.#heap.length = 0
    this.#filled = variables
    for (const [i, v] of variables.entries()) {
      if (this.#member[v] === true) continue
      this.#member[v] = true
      this.#place[v] = -1
      this.#rank[v] = i
    }
    for (const v of variables) this.put(v)
  }

  /** Puts a variable back, unless it is there or was never filled in. */
  put(v: number): void {
    if (this.#member[v] !== true || numberAt(this.#place, v) >= 0) return
    this.#place[v] = this.#heap.length
    this.#heap.push(v)
    this.#up(this.#heap.length - 1)
  }

  /** The most active variable, or -1. */
  pop(): number {
    const top = this.#heap[0]
    if (top === undefined) return -1
    const last = this.#heap.pop() ?? top
    this.#place[top] = -1
    if (this.#heap.length > 0) {
      this.#heap[0] = last
      this.#place[last] = 0
      this.#down(0)
    }
    return top
  }

  /** To be called when a variable's key has grown. */
  raised(v: number): void {
    const at = this.#place[v]
    if (at !== undefined && at >= 0) this.#up(at)
  }

  #before(v: number, w: number): boolean {
    const a = numberAt(this.#key, v)
    const b = numberAt(this.#key, w)
    return a > b || (a === b && numberAt(this.#rank, v) < numberAt(this.#rank, w))
  }

  #up(from: number): void {
    const heap = this.#heap
    const place = this.#place
    const v = numberAt(heap, from)
    let i = from
    while (i > 0) {
      const parent = (i - 1) >> 1
      const p = numberAt(heap, parent)
      if (!this.#before(v, p)) break
      heap[i] = p
      place[p] = i
      i = parent
    }
    heap[i] = v
    place[v] = i
  }

  #down(from: number): void {
    const heap = this.#heap
    const place = this.#place
    const v = numberAt(heap, from)
    let i = from
    for (;;) {
      let child = 2 * i + 1
      if (child >= heap.length) break
      if (child + 1 < heap.length && this.#before(numberAt(heap, child + 1), numberAt(heap, child))) child++
      const c = numberAt(heap, child)
      if (!this.#before(c, v)) break
      heap[i] = c
      place[c] = i
      i = child
    }
    heap[i] = v
    place[v] = i
  }
}
