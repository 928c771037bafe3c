/** A binary heap, the greatest key first; entries of one key come out in a fixed order. */
export class Queue<T> {
  readonly #keys: number[] = []
  readonly #items: T[] = []

  get top(): number {
    return this.#keys[0] ?? Number.NEGATIVE_INFINITY
  }

  push(key: number, item: T): void {
    const keys = this.#keys
    const items = this.#items
    let at = keys.length
    for (;;) {
      const above = (at - 1) >> 1
      if (at === 0 || keys[above]! >= key) break
      keys[at] = keys[above]!
      items[at] = items[above]!
      at = above
    }
    keys[at] = key
    items[at] = item
  }

  pop(): T | undefined {
    const keys = this.#keys
    const items = this.#items
    const first = items[0]
    const key = keys.pop()
    const item = items.pop()
    if (key === undefined || keys.length === 0) return first
    let at = 0
    for (;;) {
      let below = 2 * at + 1
      if (below >= keys.length) break
      if (below + 1 < keys.length && keys[below + 1]! > keys[below]!) below++
      if (keys[below]! <= key) break
      keys[at] = keys[below]!
      items[at] = items[below]!
      at = below
    }
    keys[at] = key
    items[at] = item!
    return first
  }
}
