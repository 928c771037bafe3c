import { type Graph, open, type Session } from "../../compiler/run/index.ts"

/** Money per job when every step is taken from the model, and what it took to find these steps. */
export interface Worth {
  readonly total: number
  /** States in which advice was asked for, and the milliseconds of each. */
  readonly times: readonly number[]
  /** Steps of the longest walk. */
  readonly longest: number
}

/**
 * The expected total of the runner's own planner: the graph's plan is left out, and over all outcomes the steps' own
 * chances and costs are summed. Once a branch is less likely than `least` it is worth its handover, which is never too little.
 */
export function worthOfAdvice(graph: Graph, least = 0): Worth {
  const times: number[] = []
  let longest = 0
  const known = new Map<string, number>()
  const worth = (session: Session, mass: number): number => {
    if (mass < least) return graph.handover
    const key = JSON.stringify(session.log)
    const before = known.get(key)
    if (before !== undefined) return before
    const from = performance.now()
    longest = Math.max(longest, session.log.length)
    const { next } = session
    times.push(performance.now() - from)
    const total =
      next.do === "handover" || next.do === "end"
        ? graph.handover
        : next.cost +
          next.lookCost +
          next.outcomes.reduce((sum, { found, chance }) => {
            const after = session.find(next.act, found, { leftIn: next.leaveIn })
            if (found === "holds") return sum + chance * (1 - after.standing.whole) * graph.comeback
            return sum + chance * worth(after, mass * chance)
          }, 0)
    known.set(key, total)
    return total
  }
  const total = worth(
    open({ ...graph, start: 0, nodes: [{ do: "advise", costToGo: graph.expected.total }] }),
    1,
  )
  return { total, times, longest }
}
