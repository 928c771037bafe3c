import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { open, type Recorded, RunError, type Session } from "../../compiler/run/index.ts"
import { type Job, newJob, resume, stepsOf } from "./job.ts"

/**
 * One job at the bench: the session, what went wrong with the last answer, and the counters of the proof run. The view
 * draws it, the host (the playground or a page shipped on its own) keeps it.
 */
export interface Desk {
  readonly graph: Graph
  readonly session: ReadonlySignal<Session>
  readonly job: ReadonlySignal<Job>
  /** The runner's complaint about the last answer, for the technician. */
  readonly complaint: Signal<{ readonly text: string; readonly at: Place } | undefined>
  /** Steps of an older ruleset that this one does not understand. */
  readonly lost: readonly string[]
  act(change: (session: Session) => Session, at?: Place): boolean
  proved(proof: number, runs: number): void
  restart(): void
  readonly host: Host
}

/** Where on the page an answer was given; a complaint about it is shown there. */
export type Place = "step" | "other" | "findings"

export interface Host {
  readonly keep: (job: Job) => void
  readonly newId: () => string
  readonly today: () => string
  /** What is done with a finished record, and how the button calls it. */
  readonly record: { readonly label: string; readonly save: (record: Recorded) => void }
}

export function makeDesk(graph: Graph, host: Host, kept?: Job): Desk {
  const resumed = kept ? resume(graph, kept) : { session: open(graph), lost: [] }
  const session = signal(resumed.session)
  const id = signal(kept?.id ?? host.newId())
  const proofs = signal<readonly number[]>(
    kept && kept.source === graph.ruleset.source ? kept.proofs : newJob(graph, "").proofs,
  )
  const complaint = signal<{ text: string; at: Place } | undefined>(undefined)
  const job = computed<Job>(() => ({
    source: graph.ruleset.source,
    id: id.value,
    steps: stepsOf(graph, session.value),
    proofs: proofs.value,
  }))
  const changed = () => host.keep(job.value)
  return {
    graph,
    session,
    job,
    complaint,
    lost: resumed.lost,
    host,
    act(change, at = "step") {
      try {
        session.value = change(session.value)
        complaint.value = undefined
        proofs.value = graph.proofs.map(() => 0)
        changed()
        return true
      } catch (error) {
        if (!(error instanceof RunError)) throw error
        complaint.value = { text: error.message, at }
        return false
      }
    },
    proved(proof, runs) {
      proofs.value = proofs.value.map((count, i) => (i === proof ? runs : count))
      changed()
    },
    restart() {
      session.value = open(graph)
      id.value = host.newId()
      proofs.value = graph.proofs.map(() => 0)
      complaint.value = undefined
      changed()
    },
  }
}
