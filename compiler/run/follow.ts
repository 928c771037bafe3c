import type { Found, Machine } from "./belief.ts"
import type { GraphNode } from "./graph.ts"

/** One line of a session's log, plain data. */
export interface Entry {
  /** Index of the test done; of the test that fitted the part, where `putBack`; of the one that `cannot` be done. */
  readonly test?: number | undefined
  readonly putBack?: true | undefined
  readonly cannot?: true
  /** Index of the reading, where it was learnt without a test. */
  readonly reading?: number | undefined
  readonly found?: Found
  /** Beside the cells of `found`: the values as they go on record. */
  readonly said?: readonly string[] | undefined
  readonly minutes?: number | undefined
}

/**
 * The node of the graph that these findings lead to, or undefined where they are not just the findings of one of its
 * paths. What was told may have come at any time, what was read in any order between the same two changes to the
 * machine, since neither changes the machine; swaps, redoings and putting back must come in the path's order.
 */
export function follow(m: Machine, log: readonly Entry[]): GraphNode | undefined {
  const found = new Map<string, Entry>()
  const left = new Set<Entry>()
  let changes = 0
  const key = (test: number, putBack?: boolean) =>
    [test, putBack, m.tests[test]!.kind === "told" || changes].join()
  for (const entry of log) {
    if (entry.cannot) continue
    left.add(entry)
    m.tests.forEach(({ reads }, test) => {
      if (test === entry.test || (reads?.length === 1 && reads[0] === entry.reading))
        found.set(key(test, entry.putBack), entry)
    })
    if (typeof entry.found === "string") changes++
  }
  changes = 0
  let node: GraphNode | undefined = m.nodes[m.start]
  while (node?.do === "test") {
    const entry = found.get(key(node.test, node.putBack))
    if (!entry) break
    left.delete(entry)
    if (typeof entry.found === "string") changes++
    node = m.nodes[node.edges.find(({ cells }) => String(cells) === String(entry.found))?.to ?? -1]
  }
  return left.size ? undefined : node
}
