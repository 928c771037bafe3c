import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { last } from "../../compiler/run/lookup.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

/** A stretch of time and the cases of it. */
export interface Period {
  /** As `2026`, `2026-03`, or the Monday of a week. */
  readonly name: string
  readonly rows: readonly CaseRow[]
}

const DAY = 86_400_000
/** With more bars than this nobody sees a trend. */
const MOST = 36

const lengths: readonly ((date: string) => string)[] = [
  mondayBefore,
  (date) => date.slice(0, 7),
  (date) => date.slice(0, 4),
]

/** The cases with a date by weeks, months or years, whichever is the shortest that is still readable; none for less than two. */
export function periodsOf(rows: readonly CaseRow[]): Period[] {
  const dated = rows.filter(({ date }) => /^\d{4}-\d\d-\d\d/.test(date))
  const grouped = lengths.map((nameOf) => [...groupBy(dated, ({ date }) => nameOf(date))])
  const chosen = grouped.find(({ length }) => length <= MOST) ?? last(grouped)
  if (chosen.length < 2) return []
  return chosen.map(([name, rows]) => ({ name, rows })).sort((a, b) => (a.name < b.name ? -1 : 1))
}

function mondayBefore(date: string): string {
  const at = Date.parse(date.slice(0, 10))
  const sinceMonday = (new Date(at).getUTCDay() + 6) % 7
  return new Date(at - sinceMonday * DAY).toISOString().slice(0, 10)
}

/** Of those that came to an end, how many ended fixed. */
export function fixedOf(rows: readonly CaseRow[]): { readonly fixed: number; readonly of: number } {
  const decided = rows.filter(({ ending }) => ending !== "open" && ending !== "unconfirmed")
  return { fixed: decided.filter(({ ending }) => ending === "fixed").length, of: decided.length }
}
