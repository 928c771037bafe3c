export interface Cycle {
  /** The nodes in order, without the first one again. */
  readonly nodes: readonly number[]
}

/**
 * The cycles of a directed graph, given as lists of successors: one for each edge that closes one in a depth-first
 * walk (Tarjan 1972), so none exactly when the graph has none. The closing edge leads from the last node to the first.
 * Walks with a list of its own, since an author's chain may be longer than the engine's stack is deep.
 */
export function cycles(successors: readonly (readonly number[])[]): Cycle[] {
  const found: Cycle[] = []
  const state = new Uint8Array(successors.length) // 0 not met, 1 on the way, 2 done
  for (let start = 0; start < successors.length; start++) {
    if (state[start] !== 0) continue
    const way = [{ node: start, next: 0 }]
    state[start] = 1
    while (way.length > 0) {
      const at = way.at(-1)!
      const target = successors[at.node]![at.next++]
      if (target === undefined) {
        state[at.node] = 2
        way.pop()
      } else if (state[target] === 0) {
        state[target] = 1
        way.push({ node: target, next: 0 })
      } else if (state[target] === 1) {
        const from = way.findIndex(({ node }) => node === target)
        found.push({ nodes: way.slice(from).map(({ node }) => node) })
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

/** Names at either end of a cycle that are renderCycle, and places on the way that are pointed at. */
export const MOST_SHOWN = 6
