import { endingLabel } from "../../compiler/cases/report/sections.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

/** The columns of the table of cases, how each sorts, and what its filter looks at. */

/** A sign beside the word, for those who can't tell the colours apart. */
export const endingSign: Record<CaseRow["ending"], string> = {
  fixed: "✓",
  comesBack: "✗",
  handedOver: "→",
  open: "…",
  unconfirmed: "?",
}

export function endingText(ending: CaseRow["ending"]): string {
  return `${endingSign[ending]} ${ending === "unconfirmed" ? "not confirmed" : endingLabel[ending]}`
}

/** What needs attention comes first. */
export const WORST_FIRST: readonly CaseRow["ending"][] = [
  "comesBack",
  "handedOver",
  "open",
  "unconfirmed",
  "fixed",
]

export const COLUMNS = ["id", "ending", "fault", "says", "minutes", "saved"] as const
export type Column = (typeof COLUMNS)[number] | "date"
export const columnTitles: Record<Column, string> = {
  id: "Case",
  date: "Date",
  ending: "On the graph",
  fault: "It was",
  says: "The graph",
  minutes: "Minutes",
  saved: "Saved",
}

export interface Order {
  readonly column: Column
  readonly down: boolean
}

export interface Filter {
  readonly ending: CaseRow["ending"] | ""
  /** As the row has it. */
  readonly fault: string
  /** Days, the first and the last, as in `2026-03-31`; empty for no bound. */
  readonly from: string
  readonly to: string
  readonly words: string
  /** The cases behind a figure or a bar; of other rows than these it means nothing. */
  readonly among?: {
    readonly label: string
    readonly of: readonly CaseRow[]
    readonly lines: ReadonlySet<number>
  }
}

export const everyCase: Filter = { ending: "", fault: "", from: "", to: "", words: "" }

/** The rows that pass the filter, in order; equal ones as in the file. */
export function arranged(rows: readonly CaseRow[], filter: Filter, order: Order): CaseRow[] {
  const { ending, fault, from, to, among } = filter
  const wanted = filter.words.trim().toLowerCase()
  const text = (row: CaseRow) => `${row.id} ${row.date} ${row.fault} ${row.says}`.toLowerCase()
  return rows
    .filter((row) => among?.of !== rows || among.lines.has(row.line))
    .filter((row) => ending === "" || row.ending === ending)
    .filter((row) => fault === "" || row.faults.includes(fault))
    .filter(({ date }) => (from === "" || date >= from) && (to === "" || (date !== "" && date <= `${to}~`)))
    .filter((row) => wanted === "" || text(row).includes(wanted))
    .sort((a, b) => {
      const [x, y] = [keyOf(a, order.column), keyOf(b, order.column)]
      const difference = typeof x === "number" ? x - (y as number) : x.localeCompare(y as string)
      return (order.down ? -difference : difference) || a.line - b.line
    })
}

/** Minutes that the graph takes less than the record. */
export const savedBy = ({ recorded, minutes }: CaseRow): number => recorded - minutes

function keyOf(row: CaseRow, column: Column): string | number {
  switch (column) {
    case "ending":
      // Among equals, what came back is first, then what bought a part in vain.
      return 3 * WORST_FIRST.indexOf(row.ending) + (row.cameBack ? 0 : row.inVain > 0 ? 1 : 2)
    case "saved":
      return savedBy(row)
    default:
      return row[column]
  }
}
