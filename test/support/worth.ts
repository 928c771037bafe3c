import { type ActionStep, type Graph, open, type Session } from "../../compiler/run/index.ts"

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
    const key = JSON.stringify(session.log)
    const before = known.get(key)
    if (before !== undefined) return before
    const from = performance.now()
    const { next } = session
    times.push(performance.now() - from)
    const total =
      next.do === "handover" || next.do === "end"
        ? graph.handover
        : moneyOf(graph, session, next) +
          next.outcomes.reduce((sum, { found, chance }) => {
            const after = session.find(next.act, found, { leftIn: next.leaveIn })
            if (found === "holds") return sum + chance * (1 - after.standing.whole) * graph.comeback
            return sum + chance * worth(after, mass * chance)
          }, 0)
    known.set(key, total)
    return total
  }
  return {
    total: worth(open({ ...graph, start: 0, nodes: [{ do: "advise", costToGo: graph.expected.total }] }), 1),
    times,
  }
}

/** Of the step and its look, of which the step says only the minutes. */
function moneyOf(graph: Graph, session: Session, step: ActionStep): number {
  const look = step.minutes - workMinutes(graph, session, step)
  return step.cost + (step.tries > 0 ? (look * graph.bench) / 60 : 0)
}

/** Minutes of the step without its look. */
function workMinutes({ tests, model }: Graph, session: Session, step: ActionStep): number {
  if (step.do === "test") return tests[step.test]!.minutes
  if (step.do === "replace") return model.replace[step.part]!.minutes
  if (step.do === "fix") return model.fix[step.fault]!.minutes
  if (step.do !== "putBack") return 0
  const fitting = session.log.findLast((entry) => {
    if (!("act" in entry) || !("test" in entry.act)) return false
    const { test } = entry.act
    const index = tests.findIndex(({ name }) => name === test)
    return tests[index]!.kind === "swaps" && model.tests[index]!.parts!.includes(step.part)
  })
  const name = fitting && "act" in fitting && "test" in fitting.act ? fitting.act.test : undefined
  return tests.find((test) => test.name === name)!.minutes
}
