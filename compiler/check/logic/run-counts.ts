import { addTo, at } from "../../run/lookup.ts"
/**
 * How often each cell of a row is counted, where runs of cells are counted at once: in steps of the logarithm of the row, a
 * tree in which each node has what is added to all cells below it, and the least count among them.
 */
export class RunCounts {
  readonly #width: number
  readonly #added: Int32Array
  readonly #least: Int32Array

  constructor(cells: number) {
    this.#width = 2 ** Math.ceil(Math.log2(Math.max(1, cells)))
    this.#added = new Int32Array(2 * this.#width)
    this.#least = new Int32Array(2 * this.#width)
  }

  /** Adds `step` to the count of each cell from `first` to `last`. */
  add(first: number, last: number, step: number): void {
    this.#addBelow(1, 0, this.#width - 1, first, last, step)
  }

  /** The least count among the cells from `first` to `last`. */
  leastIn(first: number, last: number): number {
    return this.#leastBelow(1, 0, this.#width - 1, first, last)
  }

  #addBelow(node: number, from: number, to: number, first: number, last: number, step: number): void {
    if (last < from || to < first) return
    if (first <= from && to <= last) {
      addTo(this.#added, node, step)
      addTo(this.#least, node, step)
      return
    }
    const middle = (from + to) >> 1
    this.#addBelow(2 * node, from, middle, first, last, step)
    this.#addBelow(2 * node + 1, middle + 1, to, first, last, step)
    this.#least[node] =
      at(this.#added, node) + Math.min(at(this.#least, 2 * node), at(this.#least, 2 * node + 1))
  }

  #leastBelow(node: number, from: number, to: number, first: number, last: number): number {
    if (last < from || to < first) return Number.POSITIVE_INFINITY
    if (first <= from && to <= last) return at(this.#least, node)
    const middle = (from + to) >> 1
    const left = this.#leastBelow(2 * node, from, middle, first, last)
    return at(this.#added, node) + Math.min(left, this.#leastBelow(2 * node + 1, middle + 1, to, first, last))
  }
}
