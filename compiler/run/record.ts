import type { Machine } from "./belief.ts"
import type { Entry } from "./follow.ts"

/** What a record says that the session cannot know. */
export interface Closing {
  readonly id: string
  /** ISO 8601. */
  readonly date?: string | undefined
  /** Name of the fault that it turned out to be. */
  readonly fault?: string
  /** How that was confirmed. */
  readonly confirmed?: string
  readonly came_back?: boolean
}

/** A recorded case: one line of a `*.cases.jsonl`. */
export interface Recorded extends Closing {
  readonly complaint: string
  readonly told: Readonly<Record<string, string>>
  readonly steps: readonly RecordedStep[]
}

export interface RecordedStep {
  /** Name of the test, */
  readonly test: string | undefined
  /** or of the part put back; neither where a reading was learnt without a test. */
  readonly putBack: string | undefined
  readonly found: "gone" | "stays" | Readonly<Record<string, string>>
  readonly minutes: number | undefined
}

/** The log as a recorded case. Fields that are undefined are not there in its JSON. */
export function record(m: Machine, log: readonly Entry[], closing: Closing): Recorded {
  const told: [string, string][] = []
  const steps: RecordedStep[] = []
  for (const { test = -1, reading = -1, putBack, cannot, found, said = [], minutes } of log) {
    const { name, reads = [reading], part } = m.tests[test] ?? {}
    const all = said.map((value, i): [string, string] => [m.readings[reads[i]!]!.name, value])
    if (said.length && reads.every((r) => m.readings[r]!.told)) told.push(...all)
    else if (!cannot)
      steps.push({
        test: putBack ? undefined : name,
        putBack: putBack && m.places[part!]!.name,
        // From entries, so that a reading named `__proto__` is a field like any other.
        found: typeof found === "string" ? found : Object.fromEntries(all),
        minutes,
      })
  }
  const { id, date, ...end } = closing
  return {
    id,
    date,
    complaint: m.complaint.name,
    told: Object.fromEntries(told),
    steps,
    ...end,
  }
}
