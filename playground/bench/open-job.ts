import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { type Act, open, type Recorded, RunError, type Session } from "../../compiler/run/index.ts"
import { problemText } from "../../compiler/ship/runner-text.ts"
import { withTerms } from "../../compiler/ship/sheets/terms.ts"
import { type Clock, newJob, resume, type SavedJob, type Stored, stepsOf } from "./saved-job.ts"
import type { JobTexts } from "./words.ts"

interface JobGraph extends JobTexts {
  /** With all its languages; `graph` is the same in the one that is shown, which `words` are in too. */
  readonly compiled: Graph
}

/**
 * One job at the bench: the session, what was wrong with the last answer, the counters of the proof run, and what is
 * noted beside. The view draws it; the host (the playground, or a page shipped on its own) stores it.
 */
export interface OpenJob extends JobGraph {
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
  cannot(act: Act, reason: string): boolean
  passed(proof: number, runs: number): void
  /** What is noted beside the findings. */
  keep(beside: Partial<Beside>): void
  /** Runs the clock, or stops it. */
  runClock(runs: boolean): void
  /** Keeps the record, under the number that it was recorded with. */
  record(record: Recorded): void
  readonly host: Host
}

/** What a job has beside its steps. */
export type Beside = Omit<SavedJob, "source" | "steps">

/** Where on the page an answer was given; what is wrong with it is shown there. */
export type AnswerPlace = "step" | "other" | "log"

export interface AnswerProblem {
  readonly text: string
  readonly from: AnswerPlace
}

export interface Host {
  readonly store: (job: SavedJob, session: Session) => void
  readonly newId: () => string
  readonly today: () => string
  /** Begins another job; this one stays in the list. */
  readonly begin: () => void
  /** Begins another job of the same machine with all that this one found. */
  readonly comeBack: () => void
  /** What is done with a finished record. */
  readonly record: (record: Recorded) => void
}

export function openJob(
  { compiled, graph, words }: JobGraph,
  host: Host,
  { job: stored, unreadable = false }: Stored = {},
): OpenJob {
  const resumed = stored ? resume({ graph, words }, stored) : { session: open(graph), lost: [] }
  const session = signal(resumed.session)
  const none = newJob(graph, "").passed
  const beside = signal<Beside>({
    ...stored,
    id: stored?.id ?? host.newId(),
    passed: stored?.source === graph.ruleset.source ? stored.passed : none,
  })
  const problem = signal<AnswerProblem | undefined>(undefined)
  const saved = computed<SavedJob>(() => ({
    ...beside.value,
    source: graph.ruleset.source,
    steps: stepsOf(graph, session.value),
  }))
  const set = (change: Partial<Beside>) => {
    beside.value = { ...beside.value, ...change }
    host.store(saved.value, session.value)
  }
  const change: OpenJob["change"] = (next, from = "step") => {
    try {
      session.value = next(session.value)
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      problem.value = { text: problemText(error, words), from }
      return false
    }
    problem.value = undefined
    const { clock } = beside.value
    set({
      passed: none,
      waitsUntil: undefined,
      notWorthRepairing: undefined,
      ...(clock ? { clock: resetClock(clock) } : {}),
    })
    return true
  }
  return {
    compiled,
    graph,
    words,
    session,
    saved,
    problem,
    lost: resumed.lost,
    unreadable,
    host,
    change,
    cannot(act, reason) {
      if (reason !== "")
        beside.value = {
          ...beside.value,
          reasons: { ...beside.value.reasons, [JSON.stringify(act)]: reason },
        }
      return change((now) => now.cannot(act))
    },
    passed: (proof, runs) =>
      set({ passed: beside.value.passed.map((count, i) => (i === proof ? runs : count)) }),
    keep: set,
    runClock(runs) {
      const spent = clockTime(beside.value.clock, Date.now())
      set({ clock: runs ? { spent, since: Date.now() } : { spent } })
    },
    record(record) {
      host.record(withTerms(record, beside.value))
      set({ id: record.id, recorded: true, clock: { spent: 0 } })
    },
  }
}

/** Milliseconds on the clock. */
export function clockTime(clock: Clock | undefined, now: number): number {
  if (!clock) return 0
  return clock.spent + (clock.since === undefined ? 0 : Math.max(0, now - clock.since))
}

/** The next step is timed from its beginning, if the clock runs. */
function resetClock({ since }: Clock): Clock {
  return since === undefined ? { spent: 0 } : { spent: 0, since: Date.now() }
}
