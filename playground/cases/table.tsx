import { useSignal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { chosenCase } from "../actions/cases.ts"
import { remedyText } from "../graph/labels.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

export const endingWords: Record<CaseRow["ending"], string> = {
  right: "✓ right",
  wrong: "✗ wrong",
  handover: "→ handed over",
  open: "… open",
  unconfirmed: "? unconfirmed",
}
/** What needs attention comes first. */
const worst: readonly CaseRow["ending"][] = ["wrong", "handover", "open", "unconfirmed", "right"]

const columns = ["id", "ending", "fault", "verdict", "minutes", "saved"] as const
type Column = (typeof columns)[number] | "date"
const heads: Record<Column, string> = {
  id: "Case",
  date: "Date",
  ending: "On the graph",
  fault: "It was",
  verdict: "Verdict",
  minutes: "Minutes",
  saved: "Saved",
}
const shownAtOnce = 200

export function verdictOf(graph: Graph, row: CaseRow): string {
  if (row.kind === "") return ""
  return remedyText(graph, { kind: row.kind, ...(row.remedy >= 0 ? { place: row.remedy } : {}) })
}

/** All cases; sorted by any column, wrong first at the beginning. */
export function CaseTable({ rows, graph }: { rows: readonly CaseRow[]; graph: Graph }) {
  const sort = useSignal<{ column: Column; down: boolean }>({ column: "ending", down: false })
  const words = useSignal("")
  const ending = useSignal<CaseRow["ending"] | "">("")
  const limit = useSignal(shownAtOnce)
  const key = (row: CaseRow, column: Column): string | number => {
    switch (column) {
      case "ending":
        // What came back stands first among its like.
        return 2 * worst.indexOf(row.ending) + (row.cameBack ? 0 : 1)
      case "verdict":
        return verdictOf(graph, row)
      case "saved":
        return row.recorded - row.minutes
      default:
        return row[column]
    }
  }
  const wanted = words.value.trim().toLowerCase()
  const shown = rows
    .filter((row) => ending.value === "" || row.ending === ending.value)
    .filter(
      (row) =>
        wanted === "" ||
        `${row.id} ${row.date} ${row.fault} ${verdictOf(graph, row)}`.toLowerCase().includes(wanted),
    )
    .sort((a, b) => {
      const [x, y] = [key(a, sort.value.column), key(b, sort.value.column)]
      const order = typeof x === "number" ? x - (y as number) : x.localeCompare(y as string)
      return (sort.value.down ? -order : order) || a.line - b.line
    })
  const sorter = (column: Column) => (
    <button
      type="button"
      class="plain sort"
      onClick={() => {
        sort.value = { column, down: sort.value.column === column && !sort.value.down }
      }}
    >
      {heads[column]}
      {sort.value.column === column ? (sort.value.down ? " ↓" : " ↑") : ""}
    </button>
  )
  return (
    <section class="card case-table" aria-labelledby="case-table-title">
      <div class="row">
        <h2 id="case-table-title" class="grow">
          Cases
        </h2>
        <label class="small row">
          Show
          <select
            value={ending.value}
            onChange={(event) => {
              ending.value = event.currentTarget.value as CaseRow["ending"] | ""
            }}
          >
            <option value="">all</option>
            {worst.map((each) => (
              <option key={each} value={each}>
                {endingWords[each]} ({rows.filter((row) => row.ending === each).length})
              </option>
            ))}
          </select>
        </label>
        <label class="small row">
          <span class="unseen">Filter the cases</span>
          <input
            type="search"
            placeholder="Filter…"
            value={words}
            onInput={(event) => {
              words.value = event.currentTarget.value
            }}
          />
        </label>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table is scrolled by keyboard too */}
      <section class="scroll" tabIndex={0} aria-label="Table of cases">
        <table>
          <thead>
            <tr>
              {columns.map((column) => (
                <th
                  key={column}
                  scope="col"
                  aria-sort={
                    sort.value.column === column ? (sort.value.down ? "descending" : "ascending") : undefined
                  }
                >
                  {sorter(column)}
                  {column === "id" && sorter("date")}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {shown.slice(0, limit.value).map((row) => (
              <tr key={row.line} class={chosenCase.value === row.line ? "chosen" : ""}>
                <td>
                  <button
                    type="button"
                    class="plain link"
                    aria-pressed={chosenCase.value === row.line}
                    onClick={() => {
                      chosenCase.value = chosenCase.value === row.line ? undefined : row.line
                    }}
                  >
                    {row.id}
                  </button>
                  <span class="small quiet case-date">{row.date}</span>
                </td>
                <td class={`ending ${row.ending}`}>
                  {endingWords[row.ending]}
                  {row.cameBack ? ", came back" : ""}
                </td>
                <td>{row.fault}</td>
                <td>{verdictOf(graph, row)}</td>
                <td class="number">{Math.round(row.minutes)}</td>
                <td class="number">{String(Math.round(row.recorded - row.minutes)).replace("-", "−")}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="row small quiet" role="status">
        {shown.length} of {rows.length}
        {shown.length > limit.value && (
          <button
            type="button"
            onClick={() => {
              limit.value += 1000
            }}
          >
            Show more
          </button>
        )}
      </p>
    </section>
  )
}
