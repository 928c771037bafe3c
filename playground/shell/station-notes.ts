import { computed } from "@preact/signals"
import { countOf } from "../../compiler/wording/figures.ts"
import { jobs } from "../actions/bench.ts"
import { casesState } from "../actions/case-file.ts"
import { compiled, counts, isEmpty, planState, version } from "../state/state.ts"
import { money, percent } from "../ui/figures.ts"

/** A few words about the state of each station, shown under its name. */
export interface Note {
  readonly text: string
  /** Left out where there is little room. */
  readonly more?: string
  readonly bad?: boolean
}

export const writeNote = computed<Note>(() => {
  if (isEmpty.value) return { text: "empty" }
  const { error, warning, note } = counts.value
  if (error > 0) return { text: countOf(error, "error"), bad: true }
  if (warning > 0) return { text: countOf(warning, "warning") }
  if (planState.value.kind === "held") return { text: "not analysed" }
  if (planState.value.kind === "checking") return { text: "checking…" }
  return { text: note === 0 ? "no problems" : countOf(note, "note") }
})

export const graphNote = computed<Note>(() => {
  const made = compiled.value
  const state = planState.value
  if (state.kind === "planning" || state.kind === "writing") return { text: "planning…" }
  if (state.kind === "large") return { text: "too large", bad: true }
  if (!made) return { text: "none" }
  if (made.version !== version.value) return { text: "older text" }
  return { text: countOf(made.graph.nodes.length, "node") }
})

export const benchNote = computed<Note>(() => {
  const open = jobs.open.value.length
  return { text: open === 0 ? "no job" : countOf(open, "job") }
})

export const casesNote = computed<Note>(() => {
  const { cases, report } = casesState.value
  if (cases === 0) return { text: "none" }
  if (!report) return { text: `${cases} recorded` }
  return { text: `${percent(report.endings.fixed.share)} fixed` }
})

export const shipNote = computed<Note>(() => {
  const made = compiled.value
  if (!made) return { text: "no graph" }
  const { expected, money: currency } = made.graph
  return { text: money(expected.total, currency), more: " a job" }
})
