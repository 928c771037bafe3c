import CloseIcon from "lucide/dist/esm/icons/x.mjs"
import { groupBy } from "../../compiler/cases/stats/group-by.ts"
import { caseFilter } from "../actions/case-filter.ts"
import { Icon } from "../ui/icon.tsx"
import type { CaseRow } from "../workers/replay.worker.ts"
import { endingText, everyCase, type Filter, WORST_FIRST } from "./case-order.ts"

/** What narrows the table down: how a case ended, what it was, when, and any words. */
export function CaseFilters({ rows }: { rows: readonly CaseRow[] }) {
  const filter = caseFilter.value
  const set = (change: Partial<Filter>) => {
    caseFilter.value = { ...filter, ...change }
  }
  const ends = groupBy(rows, ({ ending }) => ending)
  return (
    <search class="row case-filters">
      <Select
        label="Outcome"
        value={filter.ending}
        options={WORST_FIRST.map((each) => [each, endingText(each), ends.get(each)?.length ?? 0])}
        onChange={(ending) => set({ ending: ending as Filter["ending"] })}
      />
      <Select
        label="Fault"
        value={filter.fault}
        options={faultsOf(rows).map(([fault, cases]) => [fault, fault, cases])}
        onChange={(fault) => set({ fault })}
      />
      {rows.some(({ date }) => date !== "") && <Days filter={filter} set={set} />}
      <label>
        <span class="unseen">Filter the cases</span>
        <input
          type="search"
          placeholder="Words…"
          value={filter.words}
          onInput={(event) => set({ words: event.currentTarget.value })}
        />
      </label>
      <Among filter={filter} rows={rows} />
    </search>
  )
}

/** How many cases were each fault, the commonest first. */
function faultsOf(rows: readonly CaseRow[]): [fault: string, cases: number][] {
  const counts = new Map<string, number>()
  for (const { faults } of rows)
    for (const fault of new Set(faults)) counts.set(fault, (counts.get(fault) ?? 0) + 1)
  return [...counts].sort(([, a], [, b]) => b - a)
}

interface SelectProps {
  readonly label: string
  readonly value: string
  readonly options: readonly (readonly [value: string, text: string, cases: number])[]
  readonly onChange: (value: string) => void
}

function Select({ label, value, options, onChange }: SelectProps) {
  return (
    <label class="small row">
      {label}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        <option value="">all</option>
        {options.map(([each, text, cases]) => (
          <option key={each} value={each}>
            {text} ({cases})
          </option>
        ))}
      </select>
    </label>
  )
}

function Days({ filter, set }: { filter: Filter; set: (change: Partial<Filter>) => void }) {
  return (
    <span class="small row">
      <label class="row">
        From
        <input
          type="date"
          value={filter.from}
          onChange={(event) => set({ from: event.currentTarget.value })}
        />
      </label>
      <label class="row">
        to
        <input type="date" value={filter.to} onChange={(event) => set({ to: event.currentTarget.value })} />
      </label>
    </span>
  )
}

/** The figure or the bar that the cases shown are behind, and the way back to all. */
function Among({ filter, rows }: { filter: Filter; rows: readonly CaseRow[] }) {
  const among = filter.among?.of === rows ? filter.among : undefined
  const isWhole =
    !among && Object.entries(everyCase).every(([key, value]) => filter[key as "words"] === value)
  if (isWhole) return null
  return (
    <>
      {among && <span class="small among">Only: {among.label}</span>}
      <button
        type="button"
        class="tool small"
        onClick={() => {
          caseFilter.value = everyCase
        }}
      >
        <Icon of={CloseIcon} size={16} />
        Show all
      </button>
    </>
  )
}
