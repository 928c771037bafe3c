import type { Session } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { handOver } from "../../compiler/wording/compiled/common.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { actTitle } from "./labels.ts"
import type { SavedJob } from "./saved-job.ts"
import type { JobTexts } from "./words.ts"

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

export function keptJob(
  { graph, words }: JobTexts,
  session: Session,
  saved: SavedJob,
  keeping: Keeping,
): KeptJob {
  const { name, title, version } = graph.ruleset
  return {
    ...saved,
    ...keeping,
    ruleset: { name, title, version },
    complaint: graph.complaint.text,
    next: nextText({ graph, words }, session),
    done: session.log.length,
    state: session.next.do === "end" ? "ended" : "open",
  }
}

export function nextText({ graph, words }: JobTexts, { next }: Session): string {
  if ("act" in next) return actTitle(graph, next.act, words)
  if (next.do === "handover") return words.say(handOver)
  return words.say(next.closed ? m.closed : m.handedOver)
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
export function idleText(touched: number, now: number, words: Words): string {
  const minutes = Math.floor((now - touched) / 60_000)
  if (minutes < 1) return words.say(m.justNow)
  if (minutes >= 48 * 60) return words.say(m.daysAgo, { n: Math.floor(minutes / 1440) })
  const time = words.duration(minutes < 120 ? minutes : Math.floor(minutes / 60) * 60)
  return words.say(m.timeAgo, { time })
}
