import { type Signal, useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { itemAt } from "../../compiler/run/lookup.ts"
import { unitsLike } from "../../compiler/service/units.ts"
import type { ForeignTable } from "../actions/open-cases.ts"
import type { Choice, TableColumn } from "../workers/table-columns.ts"

interface Mapped {
  readonly header: string
  readonly unit: string | undefined
}

/** A table whose columns weren't all recognised: what each is, said by hand, before anything is read. */
export function ColumnMapping({ table: { name, columns, choices, answer } }: { table: ForeignTable }) {
  const mapped = useSignal<readonly Mapped[]>(columns.map(({ header, unit }) => ({ header, unit })))
  const title = useRef<HTMLHeadingElement>(null)
  useEffect(() => title.current?.focus(), [])
  const used = mapped.value.map(({ header }) => header).filter((header) => header !== "")
  const twice = used.find((header, i) => used.indexOf(header) !== i)
  const send = (event: Event) => {
    event.preventDefault()
    answer(
      mapped.value.map(({ header, unit }) =>
        unit === undefined || header === "" ? header : `${header} [${unit}]`,
      ),
    )
  }
  return (
    <form class="card column-mapping" aria-labelledby="mapping-title" onSubmit={send}>
      <h2 id="mapping-title" tabIndex={-1} ref={title}>
        What are the columns of {name}?
      </h2>
      <p class="small quiet">
        What was recognised is filled in. Columns that stand for nothing are left out. Nothing is read before
        you say so.
      </p>
      <table>
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">In it</th>
            <th scope="col">Stands for</th>
          </tr>
        </thead>
        <tbody>
          {columns.map((column, at) => (
            <Line key={column.letter} column={column} at={at} choices={choices} mapped={mapped} />
          ))}
        </tbody>
      </table>
      {twice !== undefined && (
        <p class="warned" role="alert">
          Two columns stand for <code>{twice}</code>. Only one of them can.
        </p>
      )}
      <p class="row">
        <button type="submit" class="main" disabled={used.length === 0 || twice !== undefined}>
          Read the table
        </button>
        <button type="button" onClick={() => answer(undefined)}>
          Don't open it
        </button>
      </p>
    </form>
  )
}

interface LineProps {
  readonly column: TableColumn
  readonly at: number
  readonly choices: readonly Choice[]
  readonly mapped: Signal<readonly Mapped[]>
}

function Line({ column, at, choices, mapped }: LineProps) {
  const { letter, written, samples } = column
  const { header, unit } = itemAt(mapped.value, at)
  const own = choices.find((choice) => choice.header === header)?.unit
  const set = (next: Mapped) => {
    mapped.value = mapped.value.map((each, i) => (i === at ? next : each))
  }
  return (
    <tr>
      <th scope="row">
        <span class="quiet">{letter}</span> {written}
      </th>
      <td class="small">{samples.join(", ")}</td>
      <td>
        <span class="row">
          <select
            aria-label={`Column ${letter}, ${written}, stands for`}
            value={header}
            onChange={(event) => set({ header: event.currentTarget.value, unit: undefined })}
          >
            <option value="">nothing</option>
            {[...groupBy(choices, ({ group }) => group)].map(([group, list]) => (
              <optgroup key={group} label={group}>
                {list.map((choice) => (
                  <option key={choice.header} value={choice.header}>
                    {choice.label}
                  </option>
                ))}
              </optgroup>
            ))}
          </select>
          {own !== undefined && (
            <select
              aria-label={`Unit of column ${letter}`}
              value={unit ?? own}
              onChange={(event) => set({ header, unit: event.currentTarget.value })}
            >
              {[...new Set([own, ...(unit === undefined ? [] : [unit]), ...unitsLike(own, 1)])].map(
                (each) => (
                  <option key={each}>{each}</option>
                ),
              )}
            </select>
          )}
        </span>
      </td>
    </tr>
  )
}
