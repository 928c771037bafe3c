import { checkGraph } from "./check.ts"
import { machineOf } from "./machine.ts"
import { sessionAfter } from "./reopen.ts"
import { sessionOf } from "./session.ts"
import type { Entry, Recorded, Session } from "./session-types.ts"

/**
 * The runner: takes a compiled graph, parsed from its JSON, and gives the session of a job on which nothing has been
 * found yet. Depends on nothing beyond ES2022.
 *
 *     let job = open(graph)
 *     job.next                                      // the step to do: an action, a handover, or the end
 *     job = job.answer("24.1 V")                    // what was found in that step
 *     job = job.find({ test: "try_lead" }, "gone")  // what was done and found out of order
 *     job = job.undo(0)                             // a finding was wrong: take it back, keep the rest
 *
 * @throws RunError where it is not a graph that this runner can run.
 */
export function open(graph: unknown): Session {
  return sessionOf(machineOf(checkGraph(graph)), [])
}

/**
 * Goes on from what was kept of a job: its log, or its record. A machine that came back starts from the record of its
 * first job: where that says `came_back`, or where another follows, what it found is kept and another job begins. So
 * `reopen(graph, first, second)` is the second job of a machine as far as its own record goes.
 *
 * @throws RunError where it is not a graph that this runner can run, or where a log or record isn't one of its ruleset.
 */
export function reopen(graph: unknown, ...past: readonly (readonly Entry[] | Recorded)[]): Session {
  return sessionAfter(machineOf(checkGraph(graph)), past)
}

export { RunError } from "./error.ts"
export type * from "./graph.ts"
export type * from "./indexes.ts"
export { convert } from "./read.ts"
export type * from "./session-types.ts"
