import type { Model } from "../model/model.ts"
import type { ReadingIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { type Formula, readingsOf, spelled } from "./logic/formula.ts"
import type { FindingSpace } from "./logic/space.ts"
import type { ProofCache } from "./proof-cache.ts"

/** What proofs rest on, as text and numbers for their keys: equal for equal contents, whatever the spans and indexes. */
export class ContentKeys {
  readonly #model: Model
  readonly #proofs: ProofCache
  /** By reading: the text of all `never`s linked to it. */
  readonly #nevers: Table<ReadingIndex, string>
  readonly #numbers = new Map<Formula, number>()

  constructor(model: Model, space: FindingSpace, proofs: ProofCache) {
    this.#model = model
    this.#proofs = proofs
    this.#nevers = this.#neversByReading(space)
  }

  /** By a number each: what the formulas say, with all `never`s that bear on their readings. */
  of(...formulas: readonly Formula[]): string {
    return formulas.map((formula) => this.#numberOf(formula)).join(" ")
  }

  #numberOf(formula: Formula): number {
    let number = this.#numbers.get(formula)
    if (number === undefined) {
      number = this.#proofs.number(`${this.#spelled(formula)} ${this.bound(readingsOf(formula))}`)
      this.#numbers.set(formula, number)
    }
    return number
  }

  /** The text of all `never`s that bear on these readings. */
  bound(readings: readonly ReadingIndex[]): string {
    const found = new Set<string>()
    for (const reading of readings) {
      const text = at(this.#nevers, reading)
      if (text !== "") found.add(text)
    }
    return found.size < 2 ? ([...found][0] ?? "") : [...found].sort().join(";")
  }

  #spelled(formula: Formula): string {
    return spelled(formula, (reading) => at(this.#model.readings, reading).name)
  }

  #neversByReading(space: FindingSpace): Table<ReadingIndex, string> {
    const texts = this.#model.readings.map(() => "")
    const heads = new Map<ReadingIndex, string[]>()
    for (const never of space.nevers) {
      const [first] = readingsOf(never)
      if (first === undefined) continue
      // All readings of one closure get the same text, kept under the least of them.
      const [head = first] = space.closure([first]).sort((a, b) => a - b)
      const list = heads.get(head) ?? []
      list.push(this.#spelled(never))
      heads.set(head, list)
    }
    for (const [head, list] of heads)
      for (const reading of space.closure([head])) texts[reading] = list.join(";")
    return texts
  }
}
