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
  const { next } = session
  return {
    ...saved,
    ...keeping,
    ruleset: { name, title, version },
    complaint: graph.complaint.text,
    next: "act" in next ? actTitle(graph, next.act) : next.do === "handover" ? "Hand over" : endText(next),
    done: session.log.length,
    state: next.do === "end" ? "ended" : "open",
  }
}

const endText = ({ closed }: { readonly closed: boolean }) => (closed ? "Closed" : "Handed over")

/** How long nobody has touched it. */
export function idleText(touched: number, now: number): string {
  const minutes = Math.floor((now - touched) / 60_000)
  if (minutes < 1) return "just now"
  if (minutes < 60) return `${minutes} min ago`
  return minutes < 48 * 60 ? `${Math.floor(minutes / 60)} h ago` : `${Math.floor(minutes / 1440)} days ago`
}
