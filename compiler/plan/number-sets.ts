import { Interned } from "./interned.ts"

/** A set of small numbers; equal ones of the same `NumberSets` are one object. */
export interface NumberSet {
  readonly number: number
  readonly bits: Uint32Array
}

export class NumberSets {
  readonly none: NumberSet
  readonly #known = new Interned<NumberSet>()

  constructor() {
    this.none = this.#intern(new Uint32Array(0))
  }

  with(set: NumberSet, element: number): NumberSet {
    if (has(set, element)) return set
    const bits = new Uint32Array(Math.max(set.bits.length, (element >> 5) + 1))
    bits.set(set.bits)
    bits[element >> 5]! |= 1 << (element & 31)
    return this.#intern(bits)
  }

  /** Those of its elements that are in the other set as well. */
  within({ bits }: NumberSet, other: NumberSet): NumberSet {
    const both = bits.map((word, at) => word & (other.bits[at] ?? 0))
    let length = both.length
    while (length > 0 && both[length - 1] === 0) length--
    return this.#intern(both.slice(0, length))
  }

  #intern(bits: Uint32Array): NumberSet {
    return this.#known.of(bits.join(), (number) => ({ number, bits }))
  }
}

export function has({ bits }: NumberSet, element: number): boolean {
  const at = element >> 5
  return at < bits.length && ((bits[at]! >>> (element & 31)) & 1) === 1
}
