/** The report of a replay as plain text, for people. */
import { grouped } from "../../wording/figures.ts"
import type { Report } from "./report.ts"
import {
  figureTable,
  headline,
  remarks,
  reportSections,
  type Section,
  type SectionTable,
} from "./sections.ts"
import { table } from "./text-table.ts"

/** Tables are cut after so many rows; the JSON has more. */
const MOST_ROWS = 20

export function renderReport(report: Report): string {
  const head = [headline(report), ...remarks(report).map((text) => `  ${text}`)]
  const sections = reportSections(report).map((section) => sectionText(section).join("\n"))
  return `${[head.join("\n"), ...sections].join("\n\n")}\n`
}

function sectionText({ title, figure, table: rows, notes }: Section): string[] {
  return [
    title,
    ...(figure ? tableText(figureTable(figure)) : []),
    ...(rows ? tableText(rows) : []),
    ...notes.map((text) => `  ${text}`),
  ]
}

/** A head without words says nothing. */
export function tableText({ head, rows, of = rows.length }: SectionTable): string[] {
  const shown = rows.slice(0, MOST_ROWS).map(([first = "", ...others]) => [`  ${first}`, ...others])
  const [first = "", ...others] = head
  const lines = table([[`  ${first}`, ...others], ...shown])
  const more = of - shown.length
  return [...lines, ...(more > 0 ? [`  and ${grouped(more)} more, see --json`] : [])]
}
