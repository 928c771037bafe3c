import { machineOf } from "./belief.ts"
import { checkGraph } from "./check.ts"
import { sessionOf } from "./session.ts"
import type { Session } from "./step.ts"

/**
 * The runner: takes a compiled graph, parsed from its JSON, and gives the session of a job on which nothing has been
 * found yet. Depends on nothing beyond ES2022.
 *
 *     let job = open(graph)
 *     job.next                          // the step to do: a test, a verdict or a handover
 *     job = job.answer("24.1 V")        // what was found in that step
 *     job = job.find("glow", "no")      // what was found out of order, by the name of a test, a reading or a fitted part
 *     job = job.undo(0)                 // a finding was wrong: take it back, keep the rest
 *
 * @throws RunError where it is not a graph that this runner can run.
 */
export function open(graph: unknown): Session {
  return sessionOf(machineOf(checkGraph(graph)), [])
}

export type { Found } from "./belief.ts"
export { RunError } from "./error.ts"
export type { Entry } from "./follow.ts"
export type * from "./graph.ts"
export type { Answer, Value } from "./read.ts"
export { convert } from "./read.ts"
export type * from "./record.ts"
export type * from "./standing.ts"
export type * from "./step.ts"
