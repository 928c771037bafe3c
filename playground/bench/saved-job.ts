import type { Graph } from "../../compiler/run/graph.ts"
import {
  type Act,
  type Answer,
  type Done,
  open,
  type Recorded,
  RunError,
  reopen,
  type Session,
} from "../../compiler/run/index.ts"
import { actTitle, readingsOf } from "./labels.ts"

/**
 * A job as it is stored: what was done and found, in order and by name, so that it can be done again with a new session
 * of the same graph, or of a newer one.
 */
export interface SavedJob {
  /** Digest of the ruleset it began with. */
  readonly source: string
  readonly id: string
  readonly steps: readonly SavedStep[]
  /** By proof of the graph: how many runs passed so far. */
  readonly passed: readonly number[]
}

export type SavedStep =
  | { readonly cannot: Act }
  | { readonly cameBack: true }
  | {
      readonly act: Act
      readonly found: string | Readonly<Record<string, string>>
      readonly minutes?: number
      readonly leftIn?: boolean
    }

export function newJob(graph: Graph, id: string): SavedJob {
  return { source: graph.ruleset.source, id, steps: [], passed: graph.proofs.map(() => 0) }
}

/** The session's log with what it refers to by name. */
export function stepsOf(graph: Graph, session: Session): SavedStep[] {
  return session.log.map((entry) => ("act" in entry ? savedStep(graph, entry) : entry))
}

function savedStep(graph: Graph, { act, found, said, minutes, leftIn }: Done): SavedStep {
  const names = readingsOf(graph, act).map(({ name }) => name)
  return {
    act,
    found:
      typeof found === "string"
        ? found
        : Object.fromEntries(names.map((name, i) => [name, said?.[i] ?? ""] as const)),
    ...(minutes === undefined ? {} : { minutes }),
    ...(leftIn === undefined ? {} : { leftIn }),
  }
}

/** A second job of a machine that came back, with all that the record of the first one has. @throws RunError */
export function secondJob(graph: Graph, record: Recorded): SavedJob {
  const id = `${record.id}-2`
  return { ...newJob(graph, id), steps: stepsOf(graph, reopen(graph, record, [])) }
}

/** Does all steps again; what the graph no longer understands is left out and named in `lost`. */
export function resume(graph: Graph, job: SavedJob): { session: Session; lost: string[] } {
  let session = open(graph)
  const lost: string[] = []
  for (const step of job.steps) {
    try {
      session = repeated(graph, session, step)
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      lost.push(stepTitle(graph, step))
    }
  }
  return { session, lost }
}

function repeated(graph: Graph, session: Session, step: SavedStep): Session {
  if ("cannot" in step) return session.cannot(step.cannot)
  // A job that began from a record may have no proof run before it came back.
  if ("cameBack" in step) return reopen(graph, [...session.log, step])
  const { act, found, minutes, leftIn } = step
  return session.find(act, found satisfies Answer, {
    ...(minutes === undefined ? {} : { minutes }),
    ...(leftIn === undefined ? {} : { leftIn }),
  })
}

function stepTitle(graph: Graph, step: SavedStep): string {
  if ("cameBack" in step) return "the machine came back"
  return actTitle(graph, "cannot" in step ? step.cannot : step.act)
}

/** Takes what has the shape of a job and nothing else. */
export function asSavedJob(value: unknown): SavedJob | undefined {
  if (typeof value !== "object" || value === null) return undefined
  const { source, id, steps, passed } = value as Partial<SavedJob>
  if (typeof source !== "string" || typeof id !== "string") return undefined
  if (!Array.isArray(steps) || !Array.isArray(passed)) return undefined
  return steps.every(isSavedStep) ? { source, id, steps, passed } : undefined
}

/** A job stored by an older version of the page has steps of another shape. */
function isSavedStep(step: unknown): step is SavedStep {
  if (typeof step !== "object" || step === null) return false
  if ("cannot" in step) return typeof step.cannot === "object"
  return "cameBack" in step || ("act" in step && "found" in step)
}
