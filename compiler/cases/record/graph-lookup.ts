/** What reading records and walking them look up in a graph. */

import type { Graph } from "../../run/graph.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex, Table, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"

export interface Names {
  readonly tests: ReadonlyMap<string, TestIndex>
  readonly readings: ReadonlyMap<string, ReadingIndex>
  readonly faults: ReadonlyMap<string, FaultIndex>
  readonly parts: ReadonlyMap<string, PlaceIndex>
  /** By part: the tests that fit a known-good one. */
  readonly swaps: ReadonlyMap<PlaceIndex, readonly TestIndex[]>
}

/** Reading a million records must not list the names a million times. */
const cached = new WeakMap<Graph, Names>()

export function namesOf(graph: Graph): Names {
  const known = cached.get(graph)
  if (known) return known
  const index = <I extends number>(all: Table<I, { readonly name: string }>) =>
    new Map(all.map(({ name }, i) => [name, i]))
  const swaps = new Map<PlaceIndex, TestIndex[]>()
  graph.tests.forEach(({ kind }, test) => {
    if (kind !== "swaps") return
    for (const part of graph.model.tests[test]?.parts ?? [])
      swaps.set(part, [...(swaps.get(part) ?? []), test])
  })
  const names = {
    tests: index(graph.tests),
    readings: index(graph.readings),
    faults: index(graph.faults),
    parts: new Map(
      graph.places.flatMap(({ name, kind }, place): [string, PlaceIndex][] =>
        kind === "part" ? [[name, place]] : [],
      ),
    ),
    swaps,
  }
  cached.set(graph, names)
  return names
}

/** The readings that a test takes or the question that it asks; undefined where it looks for the complaint. */
export function readsOf(graph: Graph, test: TestIndex): readonly ReadingIndex[] | undefined {
  const { kind } = at(graph.tests, test)
  return kind === "reads" || kind === "told" ? at(graph.model.tests, test).reads : undefined
}
