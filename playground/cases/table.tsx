import { useSignal } from "@preact/signals"
import SaveIcon from "lucide/dist/esm/icons/download.mjs"
import { useEffect, useRef } from "preact/hooks"
import { casesState, chosenCase } from "../actions/case-file.ts"
import { caseFilter, caseOrder, shownCases } from "../actions/case-filter.ts"
import { saveFile } from "../actions/files.ts"
import { outcomesOf } from "../actions/replay.ts"
import { CodeText } from "../ui/code-text.tsx"
import { Tool } from "../ui/tool.tsx"
import type { CaseRow } from "../workers/replay.worker.ts"
import { CaseFilters } from "./case-filters.tsx"
import { COLUMNS, type Column, columnTitles, endingText, savedBy } from "./case-order.ts"

const SHOWN_AT_ONCE = 200

/** All cases; sorted by any column, those that come back first at the beginning. */
export function CaseTable({ rows }: { rows: readonly CaseRow[] }) {
  const limit = useSignal(SHOWN_AT_ONCE)
  const title = useRef<HTMLHeadingElement>(null)
  const { among } = caseFilter.value
  useEffect(() => {
    if (among) title.current?.scrollIntoView({ block: "nearest" })
  }, [among])
  const shown = shownCases.value
  return (
    <section class="card case-table" aria-labelledby="case-table-title">
      <div class="row">
        <h2 id="case-table-title" class="grow" ref={title}>
          Cases
        </h2>
        <Tool icon={SaveIcon} disabled={shown.length === 0} onClick={saveTable}>
          Save table (CSV)
        </Tool>
      </div>
      <CaseFilters rows={rows} />
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table is scrolled by keyboard too */}
      <section class="scroll" tabIndex={0} aria-label="Table of cases">
        <table>
          <Head />
          <tbody>
            {shown.slice(0, limit.value).map((row) => (
              <Row key={row.line} row={row} />
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

/** What is shown, in its order, for a spreadsheet. */
async function saveTable(): Promise<void> {
  const text = await outcomesOf(shownCases.peek().map(({ line }) => line))
  const name = casesState.peek().name.replace(/(\.cases)?\.jsonl$/, "")
  await saveFile(`${name || "cases"}.outcomes.csv`, text, "text/csv")
}

function Head() {
  const { column: by, down } = caseOrder.value
  return (
    <thead>
      <tr>
        {COLUMNS.map((column) => (
          <th
            key={column}
            scope="col"
            aria-sort={by === column ? (down ? "descending" : "ascending") : undefined}
          >
            <Sorter column={column} />
            {column === "id" && <Sorter column="date" />}
          </th>
        ))}
      </tr>
    </thead>
  )
}

function Sorter({ column }: { column: Column }) {
  const { column: by, down } = caseOrder.value
  return (
    <button
      type="button"
      class="plain sort"
      onClick={() => {
        caseOrder.value = { column, down: by === column && !down }
      }}
    >
      {columnTitles[column]}
      {by === column ? (down ? " ↓" : " ↑") : ""}
    </button>
  )
}

function Row({ row }: { row: CaseRow }) {
  const chosen = chosenCase.value === row.line
  return (
    <tr class={chosen ? "chosen" : ""}>
      <td>
        <button
          type="button"
          class="plain link"
          aria-pressed={chosen}
          onClick={() => {
            chosenCase.value = chosen ? undefined : row.line
          }}
        >
          {row.id}
        </button>
        <span class="small quiet case-date">{row.date}</span>
      </td>
      <td class={`ending ${row.ending}`}>
        {endingText(row.ending)}
        {row.cameBack ? ", came back" : ""}
      </td>
      <td>{row.fault}</td>
      <td>
        <CodeText text={row.says} />
      </td>
      <td class="number">{Math.round(row.minutes)}</td>
      <td class="number">{String(Math.round(savedBy(row))).replace("-", "−")}</td>
    </tr>
  )
}
