import { computed, signal } from "@preact/signals"
import { type Use, usesOf } from "../../compiler/cases/report/line-uses.ts"
import { countOf, grouped } from "../../compiler/wording/figures.ts"
import { compiled } from "../state/state.ts"
import { casesState } from "./case-file.ts"

/** Whether the lines of the text carry how many cases used them. */
export const countsShown = signal(true)

export interface Uses {
  /** Version of the text that the places are in. */
  readonly version: number
  readonly cases: number
  readonly list: readonly Use[]
}

/** How often the cases at hand used each line; undefined until they were replayed on the graph at hand. */
export const uses = computed<Uses | undefined>(() => {
  const made = compiled.value
  const { report, graph } = casesState.value
  if (!report || !made || made.graph !== graph) return undefined
  return { version: made.version, cases: report.cases, list: usesOf(report, made.sources) }
})

const did: Record<Use["of"], string> = {
  rule: "ruled something out",
  test: "was done",
  fault: "was confirmed",
}

const sign = (cases: number) => (cases === 0 ? "○" : "●")

/** After a line there is little room: a sign for those who can't see the colour, and the count. */
export function countMark(cases: number): string {
  return `${sign(cases)}\u00a0${cases === 0 ? "none" : grouped(cases)}`
}

export function countText(cases: number): string {
  return `${sign(cases)} ${cases === 0 ? "no cases" : countOf(cases, "case")}`
}

export function useSentence(use: Use, all: number): string {
  const how = use.cases === 0 ? "in none" : `in ${grouped(use.cases)}`
  return `This ${use.of} ${did[use.of]} ${how} of the ${grouped(all)} replayed cases.`
}
