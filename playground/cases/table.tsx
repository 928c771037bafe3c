import { type Signal, useSignal } from "@preact/signals"
import { chosenCase } from "../actions/cases.ts"
import { CodeText } from "../code-text.tsx"
import type { CaseRow } from "../workers/replay.worker.ts"
import {
  arranged,
  COLUMNS,
  type Column,
  columnTitles,
  endingText,
  type Filter,
  type Order,
  WORST_FIRST,
} from "./case-order.ts"

const SHOWN_AT_ONCE = 200

/** All cases; sorted by any column, those that come back first at the beginning. */
export function CaseTable({ rows }: { rows: readonly CaseRow[] }) {
  const order = useSignal<Order>({ column: "ending", down: false })
  const filter = useSignal<Filter>({ ending: "", words: "" })
  const limit = useSignal(SHOWN_AT_ONCE)
  const shown = arranged(rows, filter.value, order.value)
  return (
    <section class="card case-table" aria-labelledby="case-table-title">
      <div class="row">
        <h2 id="case-table-title" class="grow">
          Cases
        </h2>
        <FilterFields filter={filter} rows={rows} />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table is scrolled by keyboard too */}
      <section class="scroll" tabIndex={0} aria-label="Table of cases">
        <table>
          <thead>
            <tr>
              {COLUMNS.map((column) => (
                <th
                  key={column}
                  scope="col"
                  aria-sort={
                    order.value.column === column
                      ? order.value.down
                        ? "descending"
                        : "ascending"
                      : undefined
                  }
                >
                  <Sorter order={order} column={column} />
                  {column === "id" && <Sorter order={order} column="date" />}
                </th>
              ))}
            </tr>
          </thead>
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

function FilterFields({ filter, rows }: { filter: Signal<Filter>; rows: readonly CaseRow[] }) {
  return (
    <>
      <label class="small row">
        Show
        <select
          value={filter.value.ending}
          onChange={(event) => {
            filter.value = { ...filter.value, ending: event.currentTarget.value as Filter["ending"] }
          }}
        >
          <option value="">all</option>
          {WORST_FIRST.map((each) => (
            <option key={each} value={each}>
              {endingText(each)} ({rows.filter((row) => row.ending === each).length})
            </option>
          ))}
        </select>
      </label>
      <label class="small row">
        <span class="unseen">Filter the cases</span>
        <input
          type="search"
          placeholder="Filter…"
          value={filter.value.words}
          onInput={(event) => {
            filter.value = { ...filter.value, words: event.currentTarget.value }
          }}
        />
      </label>
    </>
  )
}

function Sorter({ order, column }: { order: Signal<Order>; column: Column }) {
  const { column: by, down } = order.value
  return (
    <button
      type="button"
      class="plain sort"
      onClick={() => {
        order.value = { column, down: by === column && !down }
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
      <td class="number">{String(Math.round(row.recorded - row.minutes)).replace("-", "−")}</td>
    </tr>
  )
}
