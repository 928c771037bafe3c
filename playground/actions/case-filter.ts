import { computed, effect, signal } from "@preact/signals"
import { arranged, everyCase, type Filter, type Order } from "../cases/case-order.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { casesState, chosenCase } from "./case-file.ts"

/** Which cases the table shows, and in which order; whoever walks them goes through these. */
export const caseFilter = signal<Filter>(everyCase)
export const caseOrder = signal<Order>({ column: "ending", down: false })

/** Of another file of cases a filter may leave nothing. */
const text = computed(() => casesState.value.text)
effect(() => {
  text.value
  caseFilter.value = everyCase
})

export const shownCases = computed(() =>
  arranged(casesState.value.rows ?? [], caseFilter.value, caseOrder.value),
)

/** Shows in the table the cases behind a figure or a bar, and nothing else. */
export function showCases(label: string, isBehind: (row: CaseRow) => boolean): void {
  showRows(label, (casesState.peek().rows ?? []).filter(isBehind))
}

export function showRows(label: string, rows: readonly CaseRow[]): void {
  const lines = new Set(rows.map(({ line }) => line))
  chosenCase.value = undefined
  caseFilter.value = { ...everyCase, among: { label, of: casesState.peek().rows ?? [], lines } }
}

/** The case that many places further down in the table. */
export function caseBeside(by: number): CaseRow | undefined {
  const at = shownCases.value.findIndex(({ line }) => line === chosenCase.value)
  return at < 0 ? undefined : shownCases.value[at + by]
}
