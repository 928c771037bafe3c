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
import { type Column, columnsOf, type Field, letterOf, nameFrom, type Role } from "./columns.ts"

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
  const line = new RowRecord(graph, row)
  cells.forEach((raw, column) => {
    const text = raw.trim()
    if (!missing.has(text.toLowerCase())) line.add(columns[column]?.role, column, text)
  })
  return line.finish()
}

/** What the cells of one row say, gathered until the steps can be put in order. */
class RowRecord {
  readonly #graph: Graph
  readonly #record: Record<string, unknown>
  readonly #told: Record<string, string> = {}
  readonly #found = new Map<number, { readonly column: number; readonly value: string }>()
  readonly #minutes = new Map<number, number>()
  readonly #looks: { readonly column: number; readonly step: object; readonly test: number }[] = []
  readonly #steps: object[] = []
  readonly #columns = new Map<string, number>()
  readonly #bad: { readonly column: number; readonly message: string }[] = []

  constructor(graph: Graph, row: number) {
    this.#graph = graph
    this.#record = { id: `row ${row}` }
  }

  add(role: Role | undefined, column: number, text: string): void {
    if (role === undefined)
      this.#bad.push({ column, message: `${quote(text)} is to the right of the last header.` })
    else if (role.is === "reading") this.#addReading(role, column, text)
    else if (role.is === "look")
      this.#addLook({ test: this.#graph.tests[role.test]!.name }, role.test, column, text)
    else if (role.is === "put back") this.#addLook({ putBack: role.part }, -1, column, text)
    else if (role.is === "minutes") this.#addMinutes(role.test, column, text)
    else if (role.is !== "nothing") this.#addField(role.is, column, text)
  }

  #addReading({ reading, unit }: Extract<Role, { is: "reading" }>, column: number, text: string): void {
    const value = recordedValue(this.#graph, reading, text, unit)
    const { name, told } = this.#graph.readings[reading]!
    if (!told) {
      this.#found.set(reading, { column, value })
      return
    }
    this.#told[name] = value
    this.#columns.set(`told.${name}`, column)
  }

  #addLook(action: object, test: number, column: number, text: string): void {
    this.#looks.push({ column, step: { ...action, found: text.toLowerCase() }, test })
  }

  #addMinutes(test: number, column: number, text: string): void {
    const value = Number(text.replace(",", "."))
    if (value >= 0) this.#minutes.set(test, value)
    else this.#bad.push({ column, message: `Minutes are a number from 0; ${quote(text)} is not.` })
  }

  #addField(field: Field, column: number, text: string): void {
    if (field === "came_back") {
      const said = spoken[text.toLowerCase()] ?? text.toLowerCase()
      this.#record[field] = said === "yes" || said === "no" ? said === "yes" : text
    } else this.#record[field] = field === "fault" ? faultName(this.#graph, text) : text
    this.#columns.set(field, column)
  }

  finish(): RowLine {
    const { model, tests } = this.#graph
    model.tests.forEach(({ reads = [] }, test) => {
      if (tests[test]!.kind === "reads" && reads.every((reading) => this.#found.has(reading)))
        this.#addFindings(reads, test)
    })
    this.#addFindings([...this.#found.keys()], undefined)
    for (const { column, step, test } of this.#looks) this.#addStep(step, test, [["found", column]])
    const told = Object.keys(this.#told).length > 0 ? { told: this.#told } : {}
    const line = JSON.stringify({ ...this.#record, ...told, steps: this.#steps })
    return { line, columns: this.#columns, bad: this.#bad }
  }

  /** Takes these readings out of what was found, as one step. */
  #addFindings(reads: readonly number[], test: number | undefined): void {
    const all = reads.map(
      (reading) => [this.#graph.readings[reading]!.name, this.#found.get(reading)!] as const,
    )
    for (const reading of reads) this.#found.delete(reading)
    if (all.length === 0) return
    const found = Object.fromEntries(all.map(([name, { value }]) => [name, value]))
    const action = test === undefined ? {} : { test: this.#graph.tests[test]!.name }
    this.#addStep(
      { ...action, found },
      test ?? -1,
      all.map(([name, { column }]) => [`found.${name}`, column] as const),
    )
  }

  #addStep(step: object, test: number, cells: readonly (readonly [string, number])[]): void {
    for (const [path, column] of cells) this.#columns.set(`steps[${this.#steps.length}].${path}`, column)
    const minutes = this.#minutes.get(test)
    this.#steps.push(minutes === undefined ? step : { ...step, minutes })
  }
}

/** A number, perhaps with its unit, with a point for its decimal comma. Before three digits a comma may separate thousands: it stays. */
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
