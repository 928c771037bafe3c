/** How often a replay used each line of a ruleset: the counts beside the source, at the terminal and in the editor. */

import type { Span } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import type { Report } from "./report.ts"

/** Where the rules, tests and faults of a ruleset stand; lists run as in its graph. */
export interface Places {
  readonly rules: readonly Span[]
  readonly tests: readonly Span[]
  readonly faults: readonly Span[]
}

export interface Use {
  /** The whole declaration; the count belongs to its first line. */
  readonly span: Span
  /** What is counted: cases in which the rule ruled something out, the test was done, the fault was confirmed. */
  readonly of: "rule" | "test" | "fault"
  readonly cases: number
}

/** `report` is of a graph compiled from the text that `places` are in. */
export function usesOf(report: Report, places: Places): Use[] {
  return [
    ...report.rules.map(({ rule, used }): Use => ({ span: at(places.rules, rule), of: "rule", cases: used })),
    ...report.tests.map(({ used }, i): Use => ({ span: at(places.tests, i), of: "test", cases: used })),
    ...report.faults.map(({ cases }, i): Use => ({ span: at(places.faults, i), of: "fault", cases })),
  ]
}
