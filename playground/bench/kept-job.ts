import type { Graph } from "../../compiler/run/graph.ts"
import type { Session } from "../../compiler/run/index.ts"
import { actTitle } from "./labels.ts"
import type { SavedJob } from "./saved-job.ts"

/** A job as it stands in the list of jobs: with what can be said of it without its graph. */
export interface KeptJob extends SavedJob {
  readonly key: string
  /** Counts the times it was stored, so that two tabs don't overwrite each other. */
  readonly rev: number
  readonly ruleset: { readonly name: string; readonly title: string; readonly version: string }
  readonly complaint: string
  /** What is to be done next, in words. */
  readonly next: string
  readonly done: number
  readonly state: "open" | "ended"
  /** Milliseconds since 1970 when something was last done in it. */
  readonly touched: number
}

/** Which job, how often it was stored, and when it was last touched. */
export type Keeping = Pick<KeptJob, "key" | "rev" | "touched">

export function keptJob(graph: Graph, session: Session, saved: SavedJob, keeping: Keeping): KeptJob {
  const { name, title, version } = graph.ruleset
  return {
    ...saved,
    ...keeping,
    ruleset: { name, title, version },
    complaint: graph.complaint.text,
    next: nextText(graph, session),
    done: session.log.length,
    state: session.next.do === "end" ? "ended" : "open",
  }
}

export function nextText(graph: Graph, { next }: Session): string {
  if ("act" in next) return actTitle(graph, next.act)
  if (next.do === "handover") return "Hand over"
  return next.closed ? "Closed" : "Handed over"
}

/** The one job that older versions of a page kept, without what it was of. */
export function takenOver(job: SavedJob, of: Pick<KeptJob, "ruleset" | "complaint">): KeptJob {
  return {
    ...job,
    ...of,
    key: "taken over",
    rev: 1,
    next: "",
    done: job.steps.length,
    state: "open",
    touched: Date.now(),
  }
}

/** How long nobody has touched it. */
export function idleText(touched: number, now: number): string {
  const minutes = Math.floor((now - touched) / 60_000)
  if (minutes < 1) return "just now"
  if (minutes < 60) return `${minutes} min ago`
  return minutes < 48 * 60 ? `${Math.floor(minutes / 60)} h ago` : `${Math.floor(minutes / 1440)} days ago`
}
