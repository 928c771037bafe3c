/** Values of which those with equal keys are one object. */
export class Interned<Value> {
  readonly #known = new Map<string, Value>()

  get size(): number {
    return this.#known.size
  }

  /** The value of a key; a new one is made with its number, counted from 0. */
  of(key: string, make: (number: number) => Value): Value {
    let value = this.#known.get(key)
    if (value === undefined) {
      value = make(this.#known.size)
      this.#known.set(key, value)
    }
    return value
  }
}
