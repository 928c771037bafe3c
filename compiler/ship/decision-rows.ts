import type { Graph, GraphCondition } from "../run/graph.ts"
import type { CellIndex, FaultIndex, ReadingIndex, RuleIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { ShipError } from "./ship-error.ts"

/** One row of a table: readings with the cells in which each must be found; together they rule out `out`, as far as the rule is trusted. */
export interface DecisionRow {
  readonly found: ReadonlyMap<ReadingIndex, readonly CellIndex[]>
  readonly out: readonly FaultIndex[]
  /** How far the rule is trusted, a fraction of 1; below 1 it makes the faults less likely and rules none out. */
  readonly trust: number
  /** Index of the rule; undefined for findings that never occur together, which rule out everything. */
  readonly rule: RuleIndex | undefined
}

type Found = ReadonlyMap<ReadingIndex, readonly CellIndex[]>

/** More rows than this from one rule make no readable table. */
const MOST = 1000

/**
 * All rules and nevers in disjunctive normal form. A row is known true exactly where its part of the condition
 * is, in Kleene's three values too, so a reading that nobody has taken rules out nothing.
 *
 * @throws ShipError if a condition has too many cases.
 */
export function decisionRows(graph: Graph): DecisionRow[] {
  const everything = graph.faults.map((_, fault) => fault)
  return [
    ...graph.model.rules.flatMap(({ when, verb, of, chance }, rule) =>
      cases(graph, when, true, `The rule at line ${at(graph.rules, rule).line}`).map((found) => ({
        found,
        out: verb === "rule out" ? of : everything.filter((fault) => !of.includes(fault)),
        trust: chance,
        rule,
      })),
    ),
    ...graph.model.nevers.flatMap((when) =>
      cases(graph, when, true, "A `never`").map((found) => ({
        found,
        out: everything,
        trust: 1,
        rule: undefined,
      })),
    ),
  ]
}

function cases(graph: Graph, condition: GraphCondition, holds: boolean, whose: string): Found[] {
  if (condition[0] === "in") {
    const [, reading, named] = condition
    const cells = at(graph.readings, reading).cells.flatMap((_, cell) =>
      named.includes(cell) === holds ? [cell] : [],
    )
    return cells.length === 0 ? [] : [new Map([[reading, cells]])]
  }
  if (condition[0] === "not") return cases(graph, condition[1], !holds, whose)
  const [kind, ...items] = condition
  const all = items.map((item) => cases(graph, item, holds, whose))
  // De Morgan: not both is not one or not the other.
  const together = (kind === "and") === holds
  const found = together
    ? all.reduce<Found[]>((so, item) => within(both(so, item), whose), [new Map()])
    : within(all.flat(), whose)
  return absorbed(found)
}

function within(found: Found[], whose: string): Found[] {
  if (found.length > MOST)
    throw new ShipError(
      `${whose} has more than ${MOST} cases, too many for a table. Split it into several rules.`,
    )
  return found
}

function both(some: readonly Found[], others: readonly Found[]): Found[] {
  if (some.length * others.length > 100 * MOST) return new Array(MOST + 1).fill(new Map())
  return some.flatMap((a) =>
    others.flatMap((b) => {
      const merged = new Map(a)
      for (const [reading, cells] of b) {
        const before = merged.get(reading)
        merged.set(reading, before === undefined ? cells : cells.filter((cell) => before.includes(cell)))
      }
      return [...merged.values()].some((cells) => cells.length === 0) ? [] : [merged]
    }),
  )
}

/** Leaves out the cases that another one contains (the law of absorption). */
function absorbed(found: readonly Found[]): Found[] {
  const contains = (wide: Found, narrow: Found) =>
    [...wide].every(([reading, cells]) => narrow.get(reading)?.every((cell) => cells.includes(cell)))
  return found.filter(
    (one, i) =>
      !found.some((other, j) => i !== j && contains(other, one) && (j < i || !contains(one, other))),
  )
}
