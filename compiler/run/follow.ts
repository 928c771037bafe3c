import { type Action, type Found, type Machine, readsOf } from "./belief.ts"
import type { GraphNode } from "./graph.ts"

/** One line of a session's log, plain data. */
export interface Entry {
  /** Index of the test done; of the test that fitted the part, where `putBack`; of the one that `cannot` be done. */
  readonly test?: number
  readonly putBack?: true
  readonly cannot?: true
  /** Index of the reading, where it was learnt without a test. */
  readonly reading?: number
  readonly found?: Found
  /** Beside the cells of `found`: the values as they go on record. */
  readonly said?: readonly string[]
  readonly minutes?: number
}

/**
 * The node of the graph that these findings lead to, or undefined where they are not just the findings of one of its
 * paths. What was told may have come at any time, what was read in any order between the same two changes to the
 * machine, since neither changes the machine; swaps, redoings and putting back must come in the path's order.
 */
export function follow(m: Machine, log: readonly Entry[]): GraphNode | undefined {
  const { graph } = m
  let change = 0
  const left = log
    .filter((entry) => !entry.cannot)
    .map((entry) => {
      const reads = entry.reading === undefined ? readsOf(m, entry.test!) : [entry.reading]
      const told = reads?.every((r) => graph.readings[r]!.told)
      return { entry, when: reads ? (told ? undefined : change) : change++ }
    })
  const now = (when: number | undefined, so: number) => when === undefined || when === so
  let so = 0
  let node = graph.nodes[graph.start]!
  while (left.length && node.do === "test") {
    const { test, putBack }: Action = node
    const reads = readsOf(m, test)
    let found: Found | undefined
    const at = left.findIndex(
      ({ entry, when }) => now(when, so) && entry.test === test && !entry.putBack === !putBack,
    )
    if (at >= 0) found = left.splice(at, 1)[0]!.entry.found
    else if (reads) {
      const loose = reads.map((r) => left.find(({ entry, when }) => now(when, so) && entry.reading === r))
      if (loose.every((each) => each)) {
        found = loose.map(
          (each) => (left.splice(left.indexOf(each!), 1)[0]!.entry.found as readonly number[])[0]!,
        )
      }
    }
    if (!found) break
    if (!reads) so++
    const edge = node.edges.find((edge) => edge.cells.toString() === found.toString())
    if (!edge) return undefined
    node = graph.nodes[edge.to]!
  }
  return left.length ? undefined : node
}
