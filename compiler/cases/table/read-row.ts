/**
 * Cases from a table, one row each. A row becomes the line of JSON that says the same, so that table and lines are read
 * by the same rules; what there is to say of it is said by row and column.
 */

import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { quote } from "../../diagnostics/escape.ts"
import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import type { CaseCode } from "../record/codes.ts"
import { type CaseDiagnostic, readCase } from "../record/read.ts"
import { type Column, columnsOf, letterOf, nameFrom } from "./columns.ts"

export interface Sheet {
  readonly columns: readonly Column[]
}

export function sheetOf(header: readonly string[], graph: Graph): Sheet {
  return { columns: columnsOf(header, graph) }
}

/** A row as a line of `*.cases.jsonl`, and for each place in it the column that it comes from. */
export interface RowLine {
  readonly line: string
  readonly columns: ReadonlyMap<string, number>
  readonly bad: readonly { readonly column: number; readonly message: string }[]
}

/** What says that nothing was found. */
const missing = new Set(["", "?", "-", "–", "n/a", "na", "null"])

const spoken: Readonly<Record<string, string>> = {
  y: "yes",
  true: "yes",
  "1": "yes",
  n: "no",
  false: "no",
  "0": "no",
}

/** Findings that cost a case no finding of its own. */
const harmless: ReadonlySet<string> = new Set<CaseCode>(["case-fault", "case-complaint"])

/** Reads one row; `row` counts from 1 with the header, as a spreadsheet does. Never throws. */
export function readRow(
  sheet: Sheet,
  cells: readonly string[],
  row: number,
  graph: Graph,
  file = "cases.csv",
): { case?: Case; diagnostics: readonly CaseDiagnostic[]; rejected?: true } {
  if (cells.every((cell) => cell.trim() === "")) return { diagnostics: [] }
  const { line, columns, bad } = rowLine(sheet, cells, row, graph)
  const read = readCase(line, row, graph)
  const say = (column: number | undefined, message: string, from?: CaseDiagnostic): CaseDiagnostic => {
    const header = column === undefined ? undefined : sheet.columns[column]?.header
    const letter = column === undefined ? "" : letterOf(column)
    const place = column === undefined ? `Row ${row}` : `Row ${row}, column ${letter}`
    const text = `${place}${header === undefined ? "" : ` (${quote(header)})`}: ${message}`
    const span = { file, start: 0, end: 0 }
    const { severity = "warning", code = "case-value", help } = from ?? {}
    return { ...diagnostic(severity, code, span, text, { help }), line: row, path: `${letter}${row}` }
  }
  const all = [
    ...bad.map(({ column, message }) => ({ column, said: say(column, message) })),
    ...read.diagnostics.map((each) => {
      const column = columns.get(each.path)
      return { column, said: say(column, each.message, { ...each, help: helpOf(each) }) }
    }),
  ]
  const diagnostics = all.sort((a, b) => (a.column ?? -1) - (b.column ?? -1)).map(({ said }) => said)
  const rejected = bad.length > 0 || read.diagnostics.some(({ code }) => !harmless.has(code))
  return { diagnostics, ...(rejected ? { rejected } : read.case ? { case: read.case } : {}) }
}

function helpOf({ code, help = "" }: CaseDiagnostic): string {
  return harmless.has(code) ? help : help.replace(/The (finding|step) is left out\./, "The row is left out.")
}

/** The row as a line of JSON: readings by the first test that takes them, then looks in the order of the columns. */
export function rowLine({ columns }: Sheet, cells: readonly string[], row: number, graph: Graph): RowLine {
  const record: Record<string, unknown> = { id: `row ${row}` }
  const told: Record<string, string> = {}
  const found = new Map<number, { column: number; value: string }>()
  const minutes = new Map<number, number>()
  const looks: { column: number; step: { test?: string; putBack?: string; found: string }; test: number }[] =
    []
  const at = new Map<string, number>()
  const bad: { column: number; message: string }[] = []

  cells.forEach((raw, column) => {
    const text = raw.trim()
    const role = columns[column]?.role
    if (missing.has(text.toLowerCase())) return
    if (role === undefined) bad.push({ column, message: `${quote(text)} stands beyond the last column.` })
    else if (role.is === "reading") {
      const value = recordedValue(graph, role.reading, text, role.unit)
      const { name, told: isTold } = graph.readings[role.reading]!
      if (!isTold) found.set(role.reading, { column, value })
      else {
        told[name] = value
        at.set(`told.${name}`, column)
      }
    } else if (role.is === "look" || role.is === "put back") {
      const what = role.is === "look" ? { test: graph.tests[role.test]!.name } : { putBack: role.part }
      const test = role.is === "look" ? role.test : -1
      looks.push({ column, step: { ...what, found: text.toLowerCase() }, test })
    } else if (role.is === "minutes") {
      const value = Number(text.replace(",", "."))
      if (value >= 0) minutes.set(role.test, value)
      else bad.push({ column, message: `Minutes are a number from 0; ${quote(text)} is not.` })
    } else if (role.is === "came_back") {
      const said = spoken[text.toLowerCase()] ?? text.toLowerCase()
      record.came_back = said === "yes" || said === "no" ? said === "yes" : text
      at.set("came_back", column)
    } else if (role.is !== "nothing") {
      record[role.is] = role.is === "fault" ? faultName(graph, text) : text
      at.set(role.is, column)
    }
  })

  const steps: object[] = []
  const add = (step: object, test: number, places: readonly (readonly [string, number])[]) => {
    for (const [path, column] of places) at.set(`steps[${steps.length}].${path}`, column)
    const took = minutes.get(test)
    steps.push(took === undefined ? step : { ...step, minutes: took })
  }
  graph.model.tests.forEach(({ reads = [] }, test) => {
    if (graph.tests[test]!.kind !== "reads" || !reads.every((reading) => found.has(reading))) return
    take(reads, graph.tests[test]!.name, test)
  })
  take([...found.keys()], undefined, -1)
  for (const { column, step, test } of looks) add(step, test, [["found", column]])

  function take(reads: readonly number[], test: string | undefined, index: number) {
    const all = reads.map((reading) => [graph.readings[reading]!.name, found.get(reading)!] as const)
    for (const reading of reads) found.delete(reading)
    if (all.length === 0) return
    const values = Object.fromEntries(all.map(([name, { value }]) => [name, value]))
    add(
      { ...(test === undefined ? {} : { test }), found: values },
      index,
      all.map(([name, { column }]) => [`found.${name}`, column] as const),
    )
  }
  if (Object.keys(told).length > 0) record.told = told
  return { line: JSON.stringify({ ...record, steps }), columns: at, bad }
}

/** A number, perhaps with its unit, with a point for its decimal comma; with three digits behind it, that could as well part thousands. */
export function withPoint(text: string): string {
  return text.replace(/^([-+]?\d+),(?!\d{3}(?!\d))(\d+\D*)$/, "$1.$2")
}

/** A cell as a recorded value: in the words of the reading, with the unit of the column. */
function recordedValue(graph: Graph, reading: number, text: string, unit: string | undefined): string {
  const { cells, unit: own } = graph.readings[reading]!
  if (own !== undefined) {
    const number = withPoint(text)
    return unit !== undefined && /^[-+.\d]+(e[-+]?\d+)?$/i.test(number) ? `${number} ${unit}` : number
  }
  const word = nameFrom(text)
  const values = cells.flatMap((cell) => cell.values ?? [])
  const yesNo = values.length === 2 && values.includes("yes") && values.includes("no")
  const said = yesNo ? (spoken[text.toLowerCase()] ?? word) : word
  return values.find((value) => value === text || value === said) ?? text
}

/** A fault by its name, written in whatever way, or by its label. */
function faultName(graph: Graph, text: string): string {
  const name = nameFrom(text)
  const label = text.toLowerCase()
  return graph.faults.find((each) => each.name === name || each.label.toLowerCase() === label)?.name ?? text
}
