/** Whole numbers in a row that grows at its end; a list of millions takes four bytes each. */
export class PackedList {
  #items = new Int32Array(1 << 10)
  size = 0

  get bytes(): number {
    return this.#items.byteLength
  }

  at(index: number): number {
    return this.#items[index]!
  }

  set(index: number, item: number): void {
    this.#items[index] = item
  }

  push(item: number): void {
    if (this.size === this.#items.length) {
      const wider = new Int32Array(2 * this.size)
      wider.set(this.#items)
      this.#items = wider
    }
    this.#items[this.size++] = item
  }
}

const FREE = -1

/** Spreads a whole number below 2 ** 53 over 31 bits. */
function spread(key: number): number {
  let h = Math.imul(key | 0, 0x9e3779b1) ^ Math.imul((key / 2 ** 32) | 0, 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 15), 0x27d4eb2f)
  return (h ^ (h >>> 13)) & 0x7fffffff
}

/** From whole numbers below 2 ** 53 to whole numbers of 31 bits; nothing is ever taken out. */
export class PackedMap {
  #keys = new Float64Array(1 << 10)
  #values = new Int32Array(1 << 10).fill(FREE)
  #size = 0

  get bytes(): number {
    return this.#keys.byteLength + this.#values.byteLength
  }

  get(key: number): number | undefined {
    const value = this.#values[this.#slot(key)]!
    return value === FREE ? undefined : value
  }

  /** Only of a key that hasn't been set before. */
  add(key: number, value: number): void {
    if (3 * this.#size > 2 * this.#keys.length) this.#grow()
    const slot = this.#slot(key)
    this.#keys[slot] = key
    this.#values[slot] = value
    this.#size++
  }

  #slot(key: number): number {
    const last = this.#keys.length - 1
    let slot = spread(key) & last
    while (this.#values[slot] !== FREE && this.#keys[slot] !== key) slot = (slot + 1) & last
    return slot
  }

  #grow(): void {
    const [keys, values] = [this.#keys, this.#values]
    this.#keys = new Float64Array(2 * keys.length)
    this.#values = new Int32Array(2 * keys.length).fill(FREE)
    for (let at = 0; at < keys.length; at++) {
      if (values[at] === FREE) continue
      const slot = this.#slot(keys[at]!)
      this.#keys[slot] = keys[at]!
      this.#values[slot] = values[at]!
    }
  }
}
