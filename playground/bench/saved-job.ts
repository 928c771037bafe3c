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
import type { Terms } from "../../compiler/ship/sheets/terms.ts"
import { machineCameBack } from "../../compiler/wording/compiled/common.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { actTitle, readingsOf } from "./labels.ts"
import type { JobTexts } from "./words.ts"

/**
 * A job as it is stored: what was done and found, in order and by name, so that it can be done again with a new session
 * of the same graph, or of a newer one.
 */
export interface SavedJob extends Terms {
  /** Digest of the ruleset it began with. */
  readonly source: string
  readonly id: string
  readonly steps: readonly SavedStep[]
  /** By proof of the graph: how many runs passed so far. */
  readonly passed: readonly number[]
  /** Why something can't be done here, by the act as JSON. */
  readonly reasons?: Readonly<Record<string, string>>
  /** What the bench has to say beside the findings; it stays out of the record. */
  readonly notes?: string
  readonly clock?: Clock
  /** Milliseconds since 1970 when the machine needn't wait any longer for the step at hand. */
  readonly waitsUntil?: number | undefined
  readonly recorded?: boolean
}

/** Time spent on the step at hand: `spent` milliseconds, and what has passed since `since` where it runs. */
export interface Clock {
  readonly spent: number
  readonly since?: number
}

export type SavedStep =
  | { readonly cannot: Act | string }
  | { readonly cameBack: true }
  | {
      readonly act: Act
      readonly found: string | Readonly<Record<string, string>>
      readonly minutes?: number
      readonly leftIn?: boolean
    }
  /** As version 0.1 of the page stored it: a test, a reading, or a part whose old one went back in. */
  | {
      readonly name: string
      readonly found: string | Readonly<Record<string, string>>
      readonly minutes?: number
    }

export function newJob(graph: Graph, id: string): SavedJob {
  return { source: graph.ruleset.source, id, steps: [], passed: graph.proofs.map(() => 0) }
}

/** The session's log with what it refers to by name. */
export function stepsOf(graph: Graph, { log }: Pick<Session, "log">): SavedStep[] {
  return log.map((entry) => ("act" in entry ? savedStep(graph, entry) : entry))
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

/** A second job of a machine that came back, with all that this one found. */
export function jobAfter(job: SavedJob): SavedJob {
  const { source, id, steps, passed, reasons, notes } = job
  return {
    source,
    id: `${id}-2`,
    steps: [...steps, { cameBack: true }],
    passed: passed.map(() => 0),
    ...(reasons ? { reasons } : {}),
    ...(notes ? { notes } : {}),
  }
}

/** A second job of a machine that came back, with all that the record of the first one has. @throws RunError */
export function secondJob(graph: Graph, record: Recorded): SavedJob {
  const id = `${record.id}-2`
  return { ...newJob(graph, id), steps: stepsOf(graph, reopen(graph, record, [])) }
}

/** Does all steps again; what the graph no longer understands is left out and named in `lost`. */
export function resume({ graph, words }: JobTexts, job: SavedJob): { session: Session; lost: string[] } {
  let session = open(graph)
  const lost: string[] = []
  for (const step of job.steps) {
    try {
      session = repeated(graph, session, step)
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      lost.push(stepTitle(graph, step, words))
    }
  }
  return { session, lost }
}

function repeated(graph: Graph, session: Session, step: SavedStep): Session {
  if ("cannot" in step) return session.cannot(step.cannot)
  // A job that began from a record may have no proof run before it came back.
  if ("cameBack" in step) return reopen(graph, [...session.log, step])
  const { found, minutes } = step
  const act = actOf(graph, step)
  const leftIn = "leftIn" in step ? step.leftIn : undefined
  return session.find(act, found satisfies Answer, {
    ...(minutes === undefined ? {} : { minutes }),
    ...(leftIn === undefined ? {} : { leftIn }),
  })
}

function stepTitle(graph: Graph, step: SavedStep, words: Words): string {
  if ("cameBack" in step) return words.say(machineCameBack)
  const act = "cannot" in step ? step.cannot : actOf(graph, step)
  return typeof act === "string" ? act : actTitle(graph, act, words)
}

/** Names are unique in a ruleset, whatever they are of. */
function actOf({ readings, places }: Graph, step: Extract<SavedStep, { readonly found: unknown }>): Act {
  if ("act" in step) return step.act
  const { name } = step
  if (readings.some((reading) => reading.name === name)) return { reading: name }
  return places.some((place) => place.name === name) ? { putBack: name } : { test: name }
}

/** What was stored, if anything; `unreadable` where it isn't a job of this page or of an older one. */
export interface Stored {
  readonly job?: SavedJob
  readonly unreadable?: boolean
}

export function readStored(value: unknown): Stored {
  if (value === undefined || value === null) return {}
  if (typeof value !== "object") return { unreadable: true }
  const { source, id, steps, passed, proofs } = value as Partial<SavedJob> & { readonly proofs?: unknown }
  const runs = passed ?? proofs
  if (typeof source !== "string" || typeof id !== "string") return { unreadable: true }
  if (!Array.isArray(steps) || !Array.isArray(runs)) return { unreadable: true }
  return steps.every(isSavedStep) ? { job: { source, id, steps, passed: runs } } : { unreadable: true }
}

function isSavedStep(step: unknown): step is SavedStep {
  if (typeof step !== "object" || step === null) return false
  if ("cannot" in step)
    return typeof step.cannot === "string" || (typeof step.cannot === "object" && step.cannot !== null)
  if ("cameBack" in step) return true
  const isNamed =
    "act" in step ? typeof step.act === "object" : "name" in step && typeof step.name === "string"
  return isNamed && "found" in step
}
