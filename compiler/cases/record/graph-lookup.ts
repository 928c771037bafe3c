/** What reading records and walking them look up in a graph. */
import type { Graph } from "../../run/graph.ts"

export interface Names {
  readonly tests: ReadonlyMap<string, number>
  readonly readings: ReadonlyMap<string, number>
  readonly faults: ReadonlyMap<string, number>
  /** By part: the tests that fit a known-good one. */
  readonly fits: ReadonlyMap<string, readonly number[]>
}

const kept = new WeakMap<Graph, Names>()

/** Made once for each graph. */
export function namesOf(graph: Graph): Names {
  const known = kept.get(graph)
  if (known) return known
  const index = (all: readonly { readonly name: string }[]) => new Map(all.map(({ name }, i) => [name, i]))
  const fits = new Map<string, number[]>()
  graph.model.tests.forEach(({ part }, test) => {
    const name = part === undefined ? undefined : graph.places[part]!.name
    if (name !== undefined) fits.set(name, [...(fits.get(name) ?? []), test])
  })
  const names = {
    tests: index(graph.tests),
    readings: index(graph.readings),
    faults: index(graph.faults),
    fits,
  }
  kept.set(graph, names)
  return names
}

/** The readings that a test takes or the question that it asks; undefined where it looks for the complaint. */
export function readsOf(graph: Graph, test: number): readonly number[] | undefined {
  const { kind } = graph.tests[test]!
  return kind === "reads" || kind === "told" ? graph.model.tests[test]!.reads : undefined
}
