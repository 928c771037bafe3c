/** What reading records and walking them look up in a graph. */
import type { Graph } from "../../run/graph.ts"

export interface Names {
  readonly tests: ReadonlyMap<string, number>
  readonly readings: ReadonlyMap<string, number>
  readonly faults: ReadonlyMap<string, number>
  readonly parts: ReadonlyMap<string, number>
  /** By part: the tests that fit a known-good one. */
  readonly swaps: ReadonlyMap<number, readonly number[]>
}

/** Reading a million records must not list the names a million times. */
const cached = new WeakMap<Graph, Names>()

export function namesOf(graph: Graph): Names {
  const known = cached.get(graph)
  if (known) return known
  const index = (all: readonly { readonly name: string }[]) => new Map(all.map(({ name }, i) => [name, i]))
  const swaps = new Map<number, number[]>()
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
      graph.places.flatMap(({ name, kind }, place): [string, number][] =>
        kind === "part" ? [[name, place]] : [],
      ),
    ),
    swaps,
  }
  cached.set(graph, names)
  return names
}

/** The readings that a test takes or the question that it asks; undefined where it looks for the complaint. */
export function readsOf(graph: Graph, test: number): readonly number[] | undefined {
  const { kind } = graph.tests[test]!
  return kind === "reads" || kind === "told" ? graph.model.tests[test]!.reads : undefined
}
