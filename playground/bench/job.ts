import type { Graph } from "../../compiler/run/graph.ts"
import { open, RunError, type Session } from "../../compiler/run/index.ts"

/**
 * A job as it is kept over a reload: what was said, in order, so that it can be said again to a new session of the same
 * graph, or of a newer one.
 */
export interface Job {
  /** Digest of the ruleset it was begun with. */
  readonly source: string
  readonly id: string
  readonly steps: readonly JobStep[]
  /** By proof of the graph: how many runs held so far. */
  readonly proofs: readonly number[]
}

export type JobStep =
  | { readonly cannot: string }
  | {
      readonly name: string
      readonly found: "gone" | "stays" | Readonly<Record<string, string>>
      readonly minutes?: number
    }

export function newJob(graph: Graph, id: string): Job {
  return { source: graph.ruleset.source, id, steps: [], proofs: graph.proofs.map(() => 0) }
}

/** The session's log in the job's words. */
export function stepsOf(graph: Graph, session: Session): JobStep[] {
  return session.log.map(({ test, reading, putBack, cannot, found, said, minutes }) => {
    if (cannot) return { cannot: graph.tests[test!]!.name }
    const time = minutes === undefined ? {} : { minutes }
    if (test === undefined) {
      const name = graph.readings[reading!]!.name
      return { name, found: { [name]: said![0]! }, ...time }
    }
    const { part, reads } = graph.model.tests[test]!
    const name = putBack ? graph.places[part!]!.name : graph.tests[test]!.name
    if (typeof found === "string") return { name, found, ...time }
    const pairs = (reads ?? []).map((r, i) => [graph.readings[r]!.name, said![i]!] as const)
    return { name, found: Object.fromEntries(pairs), ...time }
  })
}

/** Says all steps again; what the graph no longer understands is left out and named in `lost`. */
export function resume(graph: Graph, job: Job): { session: Session; lost: string[] } {
  let session = open(graph)
  const lost: string[] = []
  for (const step of job.steps) {
    try {
      session =
        "cannot" in step ? session.cannot(step.cannot) : session.find(step.name, step.found, step.minutes)
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      lost.push("cannot" in step ? step.cannot : step.name)
    }
  }
  return { session, lost }
}

/** Takes over what has the shape of a job and nothing else. */
export function asJob(value: unknown): Job | undefined {
  if (typeof value !== "object" || value === null) return undefined
  const { source, id, steps, proofs } = value as Partial<Job>
  if (typeof source !== "string" || typeof id !== "string") return undefined
  if (!Array.isArray(steps) || !Array.isArray(proofs)) return undefined
  return { source, id, steps, proofs }
}
