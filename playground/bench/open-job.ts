import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { open, type Recorded, RunError, type Session } from "../../compiler/run/index.ts"
import { newJob, resume, type SavedJob, type Stored, stepsOf } from "./saved-job.ts"

/**
 * One job at the bench: the session, what was wrong with the last answer, and the counters of the proof run. The view
 * draws it; the host (the playground, or a page shipped on its own) stores it.
 */
export interface OpenJob {
  readonly graph: Graph
  readonly session: ReadonlySignal<Session>
  readonly saved: ReadonlySignal<SavedJob>
  /** What the runner says is wrong with the last answer, for the technician. */
  readonly problem: Signal<AnswerProblem | undefined>
  /** Steps of an older ruleset that this one doesn't understand. */
  readonly lost: readonly string[]
  /** A job was stored that this version of the page can't read; a new one has begun. */
  readonly unreadable: boolean
  /** False where the runner refuses; `problem` then says why. */
  change(next: (session: Session) => Session, from?: AnswerPlace): boolean
  passed(proof: number, runs: number): void
  restart(): void
  readonly host: Host
}

/** Where on the page an answer was given; what is wrong with it is shown there. */
export type AnswerPlace = "step" | "other" | "log"

export interface AnswerProblem {
  readonly text: string
  readonly from: AnswerPlace
}

export interface Host {
  readonly store: (job: SavedJob) => void
  readonly newId: () => string
  readonly today: () => string
  /** What is done with a finished record, and what the button says. */
  readonly record: { readonly label: string; readonly save: (record: Recorded) => void }
}

export function openJob(graph: Graph, host: Host, { job: stored, unreadable = false }: Stored = {}): OpenJob {
  const resumed = stored ? resume(graph, stored) : { session: open(graph), lost: [] }
  const session = signal(resumed.session)
  const id = signal(stored?.id ?? host.newId())
  const none = newJob(graph, "").passed
  const passed = signal<readonly number[]>(stored?.source === graph.ruleset.source ? stored.passed : none)
  const problem = signal<AnswerProblem | undefined>(undefined)
  const saved = computed<SavedJob>(() => ({
    source: graph.ruleset.source,
    id: id.value,
    steps: stepsOf(graph, session.value),
    passed: passed.value,
  }))
  const store = () => host.store(saved.value)
  return {
    graph,
    session,
    saved,
    problem,
    lost: resumed.lost,
    unreadable,
    host,
    change(next, from = "step") {
      try {
        session.value = next(session.value)
      } catch (error) {
        if (!(error instanceof RunError)) throw error
        problem.value = { text: error.message, from }
        return false
      }
      problem.value = undefined
      passed.value = none
      store()
      return true
    },
    passed(proof, runs) {
      passed.value = passed.value.map((count, i) => (i === proof ? runs : count))
      store()
    },
    restart() {
      session.value = open(graph)
      id.value = host.newId()
      passed.value = none
      problem.value = undefined
      store()
    },
  }
}
