import type { Table } from "../run/indexes.ts"
import { last } from "../run/lookup.ts"

/** An edge, by the node that it leads to. */
interface Edge<I extends number> {
  readonly index: I
}

export interface Cycle<I extends number, E extends Edge<I>> {
  /** The nodes in order, without the first one again. */
  readonly nodes: readonly I[]
  /** The edge that leads from the last node to the first. */
  readonly closing: E
}

/**
 * The cycles of a directed graph, given as lists of edges: one for each edge that closes one in a depth-first walk
 * (Tarjan 1972), so none exactly when the graph has none. Walks with a list of its own, since an author's chain may be
 * longer than the engine's stack is deep.
 */
export function cycles<I extends number, E extends Edge<I>>(edges: Table<I, readonly E[]>): Cycle<I, E>[] {
  const found: Cycle<I, E>[] = []
  const state = new Uint8Array(edges.length) // 0 not met, 1 on the way, 2 done
  for (const start of edges.keys()) {
    if (state[start] !== 0) continue
    const way = [{ node: start, next: 0 }]
    state[start] = 1
    while (way.length > 0) {
      const here = last(way)
      const edge = edges[here.node]?.[here.next++]
      if (edge === undefined) {
        state[here.node] = 2
        way.pop()
      } else if (state[edge.index] === 0) {
        state[edge.index] = 1
        way.push({ node: edge.index, next: 0 })
      } else if (state[edge.index] === 1) {
        const from = way.findIndex(({ node }) => node === edge.index)
        found.push({ nodes: way.slice(from).map(({ node }) => node), closing: edge })
      }
    }
  }
  return found
}

/** `a → b → a`; of a long way round, the start and the end. */
export function renderCycle(names: readonly string[]): string {
  const around = [...names, names[0] ?? ""]
  if (around.length <= 2 * MOST_SHOWN) return around.join(" → ")
  return [
    ...around.slice(0, MOST_SHOWN),
    `… ${around.length - 2 * MOST_SHOWN} more …`,
    ...around.slice(-MOST_SHOWN),
  ].join(" → ")
}

/** Names at either end of a cycle that are shown, and places on the way that are pointed at. */
export const MOST_SHOWN = 6
