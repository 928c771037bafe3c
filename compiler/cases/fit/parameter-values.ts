/** Values of the parameters, and what they make of the ruleset: distributions and chances, as semantics.md has them. */
import type { Group, Parameters } from "./parameters.ts"

export interface Values {
  /** By fault. */
  readonly odds: Float64Array
  /** By group: the chance of each clause, then of the rest (absent where the clauses cover all). */
  readonly groups: readonly Float64Array[]
  /** By rate. */
  readonly rates: Float64Array
}

/** As the author wrote them. */
export function written({ model, groups, rates }: Parameters): Values {
  return {
    odds: Float64Array.from(model.faults, ({ odds }) => odds),
    groups: groups.map(({ clauses, rest }) => {
      const chances = clauses.map(({ chance }) => chance)
      const left = 1 - chances.reduce((sum, chance) => sum + chance, 0)
      // What binary fractions leave of a sum of 100 % is nothing.
      return Float64Array.from(rest.length > 0 ? [...chances, left < 1e-12 ? 0 : left] : chances)
    }),
    rates: Float64Array.from(rates, ({ chance }) => chance),
  }
}

/** The category of a cell in its group: the index of its clause, or of the rest. */
export function categoryOf({ clauses }: Group, cell: number): number {
  const at = clauses.findIndex(({ cells }) => cells[cell])
  return at < 0 ? clauses.length : at
}

/** The ruleset in numbers, for one set of values. */
export class Numbers {
  readonly #parameters: Parameters
  readonly #values: Values
  readonly #own: Float64Array[]
  readonly #base: Float64Array[]

  constructor(parameters: Parameters, values: Values) {
    this.#parameters = parameters
    this.#values = values
    const { model, groups } = parameters
    this.#base = model.readings.map(({ cells }) => {
      const all = cells.reduce((sum, { weight }) => sum + weight, 0)
      return Float64Array.from(cells, ({ weight }) => weight / all)
    })
    this.#own = groups.map((group, g) => {
      const { cells } = model.readings[group.reading]!
      const sizes = new Float64Array(group.clauses.length + 1)
      cells.forEach(({ weight }, cell) => {
        sizes[categoryOf(group, cell)]! += weight
      })
      return Float64Array.from(cells, ({ weight }, cell) => {
        const category = categoryOf(group, cell)
        return (values.groups[g]![category]! * weight) / sizes[category]!
      })
    })
  }

  odds(fault: number): number {
    return this.#values.odds[fault]!
  }

  /** Chance of an account or reading taken at its word, on the machine with its fault, or without (no fault). */
  plain(reading: number, cell: number, fault: number | undefined): number {
    const { groupOf, model } = this.#parameters
    const groups = groupOf[reading]!
    const own = fault === undefined ? -1 : groups[fault]!
    const group = own >= 0 ? own : groups[model.faults.length]!
    return group < 0 ? this.#base[reading]![cell]! : this.#own[group]![cell]!
  }

  base(reading: number, cell: number): number {
    return this.#base[reading]![cell]!
  }

  trust(reading: number): number {
    const at = this.#parameters.trust[reading]!
    return at < 0 ? this.#parameters.model.readings[reading]!.trust : this.#values.rates[at]!
  }

  told(reading: number, cell: number, fault: number): number {
    const trust = this.trust(reading)
    return trust * this.plain(reading, cell, fault) + (1 - trust) * this.base(reading, cell)
  }

  recurs(fault: number): number {
    const at = this.#parameters.recurs[fault]!
    return at < 0 ? this.#parameters.model.faults[fault]!.recurs : this.#values.rates[at]!
  }

  /** Chance that this test cures a fault in `place`; 0 where it does not redo it. */
  cures(test: number, place: number): number {
    const at = this.#parameters.cures[test]!.get(place)
    if (at === undefined) return 0
    if (at >= 0) return this.#values.rates[at]!
    return this.#parameters.model.tests[test]!.redoes.find(({ setup }) => setup === place)!.cures
  }
}
