import { type Graph, open, type Session } from "../../compiler/run/index.ts"

/** Money per job when every step is taken from the model, and what it took to find these steps. */
export interface Worth {
  readonly total: number
  /** States in which advice was asked for, and the milliseconds of each. */
  readonly times: readonly number[]
}

/**
 * The expected total of the runner's own planner: the graph's plan is left out, and over all outcomes the steps' own
 * chances and costs are summed. Once a branch is less likely than `least` it is worth its handover, which is never too little.
 */
export function worthOfAdvice(graph: Graph, least = 0): Worth {
  const times: number[] = []
  const known = new Map<string, number>()
  const worth = (session: Session, mass: number): number => {
    if (mass < least) return graph.handover
    // The order of what was read does not matter; the same findings are the same state.
    const key = session.log
      .map(({ test, putBack, found }) => `${test} ${putBack} ${found}`)
      .sort()
      .join(";")
    const before = known.get(key)
    if (before !== undefined) return before
    const from = performance.now()
    const { next } = session
    times.push(performance.now() - from)
    let sum: number
    if (next.do === "handover") sum = graph.handover
    else if (next.do === "verdict") {
      const wasted = next.remedy.kind === "replace" ? (graph.places[next.remedy.place!]!.price ?? 0) : 0
      sum = (1 - next.chance) * (wasted + graph.comeback)
    } else {
      sum = next.cost
      for (const { found, chance } of next.outcomes)
        sum += chance * worth(session.find(next.putBack ?? next.name, found), mass * chance)
    }
    known.set(key, sum)
    return sum
  }
  return { total: worth(open({ ...graph, start: 0, nodes: [{ do: "advise" }] }), 1), times }
}
