/** Values of the parameters, and the graph that the ruleset is with them. */

import type { Graph } from "../../run/graph.ts"
import type { CellIndex, FaultIndex, ReadingIndex, Table } from "../../run/indexes.ts"
import { addTo, at } from "../../run/lookup.ts"
import { graphWithoutPlan } from "./graph-without-plan.ts"
import type { Group, Parameters } from "./parameters.ts"

export interface Values {
  /** By fault. */
  readonly odds: Float64Array
  /** Chances of one fault, two faults, and something not listed. */
  readonly states: Float64Array
  /** By group: the chance of each clause, then of the rest (absent where the clauses cover all). */
  readonly groups: readonly Float64Array[]
  /** By rate. */
  readonly rates: Float64Array
}

/** As the author wrote them. */
export function written({ model, groups, rates }: Parameters): Values {
  const { second, unlisted } = model.ruleset
  return {
    odds: Float64Array.from(model.faults, ({ odds }) => odds),
    states: Float64Array.of(1 - second - unlisted, second, unlisted),
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
export function categoryOf({ clauses }: Group, cell: CellIndex): number {
  const clause = clauses.findIndex(({ cells }) => cells[cell])
  return clause < 0 ? clauses.length : clause
}

/** The ruleset with these values, as a graph that plans nothing. */
export function graphWith(parameters: Parameters, values: Values): Graph {
  const { model, groupOf, recurs, trust, rules, setups, cures, eased } = parameters
  const graph = graphWithoutPlan(model)
  const rate = (index: number | undefined, otherwise: number) =>
    index === undefined || index < 0 ? otherwise : at(values.rates, index)
  const spread = (
    reading: ReadingIndex,
    fault: FaultIndex | undefined,
    otherwise: Table<CellIndex, number>,
  ) => {
    const group = at(at(groupOf, reading), fault ?? model.faults.length)
    return group < 0 ? otherwise : distribution(parameters, values, group)
  }
  const { model: numbers } = graph
  return {
    ...graph,
    second: at(values.states, 1),
    unlisted: at(values.states, 2),
    faults: graph.faults.map((fault, f) => ({ ...fault, odds: at(values.odds, f) })),
    model: {
      ...numbers,
      healthy: numbers.healthy.map((chances, reading) => spread(reading, undefined, chances)),
      shows: numbers.shows.map((all, fault) =>
        all.map(([reading, chances]) => [reading, spread(reading, fault, chances)] as const),
      ),
      trust: numbers.trust.map((chance, reading) => rate(trust[reading], chance)),
      recurs: numbers.recurs.map((chance, fault) => rate(recurs[fault], chance)),
      eased: numbers.eased.map((all, fault) =>
        all.map(([setup, chance]) => [setup, rate(at(eased, fault).get(setup), chance)] as const),
      ),
      reach: numbers.reach.map((all) =>
        all.map(([setup, chance]) => [setup, rate(setups[setup], chance)] as const),
      ),
      tests: numbers.tests.map((test, t) => ({
        ...test,
        ...(test.redoes
          ? {
              redoes: test.redoes.map(
                ([setup, chance]) => [setup, rate(at(cures, t).get(setup), chance)] as const,
              ),
            }
          : {}),
      })),
      rules: numbers.rules.map((rule, r) => ({ ...rule, chance: rate(rules[r], rule.chance) })),
    },
  }
}

/** By cell: each category's chance spread by base measure. */
function distribution(
  { model, groups }: Parameters,
  values: Values,
  index: number,
): Table<CellIndex, number> {
  const group = at(groups, index)
  const chances = at(values.groups, index)
  const { cells } = at(model.readings, group.reading)
  const sizes = new Float64Array(group.clauses.length + 1)
  cells.forEach(({ weight }, cell) => {
    addTo(sizes, categoryOf(group, cell), weight)
  })
  return cells.map(({ weight }, cell) => {
    const category = categoryOf(group, cell)
    return (at(chances, category) * weight) / at(sizes, category)
  })
}
