/**
 * Cases from a table, one row each. A row becomes the record that says the same, so that table and lines are read
 * by the same rules; its diagnostics name row and column.
 */

import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import type { Graph } from "../../run/graph.ts"
import type { ReadingIndex, TestIndex } from "../../run/indexes.ts"
import { at, lookUp } from "../../run/lookup.ts"
import { type TypedNumber, typedNumber } from "../../wording/typed-number.ts"
import type { Case } from "../record/case.ts"
import type { CaseCode } from "../record/codes.ts"
import { KeptByReading } from "../record/kept-by-reading.ts"
import { type CaseDiagnostic, readRecord } from "../record/read.ts"
import type { Fields } from "../record/read-steps.ts"
import { type Column, columnsOf, FIELDS, type Field, letterOf, nameFrom, type Role } from "./columns.ts"

export interface ColumnMapping {
  readonly columns: readonly Column[]
}

export function columnMapping(header: readonly string[], graph: Graph): ColumnMapping {
  return { columns: columnsOf(header, graph) }
}

/** What a row says, as a record of `*.cases.jsonl`. */
interface RowContents {
  readonly record: Fields
  /** For each place in the record the column that it comes from. */
  readonly columns: () => ReadonlyMap<string, number>
  readonly bad: readonly { readonly column: number; readonly message: string }[]
}

/** Cells that say that nothing was found. */
const MISSING = new Set(["", "?", "-", "–", "n/a", "na", "null"])

const spoken: Readonly<Record<string, string>> = {
  y: "yes",
  true: "yes",
  "1": "yes",
  n: "no",
  false: "no",
  "0": "no",
}

const FIELD_NAMES: ReadonlySet<string> = new Set(FIELDS)

const isField = (role: Role): role is Extract<Role, { is: Field }> => FIELD_NAMES.has(role.is)

/** The step that a column stands for with what was found, and whether it looks for the complaint or is merely done. */
function stepOf(
  role: Role,
  graph: Graph,
  found: string,
): { readonly step: object; readonly looks: boolean } | undefined {
  // Each written out: objects of a few fixed shapes are read several times as fast as ones put together from others.
  switch (role.is) {
    case "look":
      return { step: { test: at(graph.tests, role.test).name, found }, looks: true }
    case "put back":
      return { step: { putBack: role.part, found }, looks: true }
    case "replace":
      return { step: { replace: role.part, found }, looks: true }
    case "fix":
      return { step: { fix: role.fault, found }, looks: true }
    case "look again":
      return { step: { look: true, found }, looks: true }
    case "close":
      return { step: { close: true, found }, looks: true }
    case "take out":
      return { step: { takeOut: role.part, found: "done" }, looks: false }
    case "keep":
      return { step: { keep: role.part, found: "done" }, looks: false }
    case "hand over":
      return { step: { handOver: true, found: "done" }, looks: false }
    default:
      return undefined
  }
}

/** `yes` and `no` as shops write them. */
function yesOrNo(text: string): "yes" | "no" | undefined {
  const said = spoken[text.toLowerCase()] ?? text.toLowerCase()
  return said === "yes" || said === "no" ? said : undefined
}

/** Diagnostics that take nothing out of a case. */
const HARMLESS: ReadonlySet<string> = new Set<CaseCode>(["case-fault", "case-complaint"])

/** Reads one row; `row` counts from 1 with the header, as a spreadsheet does. Never throws. */
export function readRow(
  mapping: ColumnMapping,
  cells: readonly string[],
  row: number,
  graph: Graph,
  file = "cases.csv",
  today?: string,
): { case?: Case; diagnostics: readonly CaseDiagnostic[]; rejected?: true } {
  if (cells.every((cell) => cell.trim() === "")) return { diagnostics: [] }
  const { record, columns, bad } = rowContents(mapping, cells, row, graph)
  const read = readRecord(record, row, graph, { file, offset: 0, ...(today === undefined ? {} : { today }) })
  if (bad.length === 0 && read.diagnostics.length === 0) return read
  const say = (column: number | undefined, message: string, from?: CaseDiagnostic): CaseDiagnostic => {
    const header = column === undefined ? undefined : mapping.columns[column]?.header
    const letter = column === undefined ? "" : letterOf(column)
    const place = column === undefined ? `Row ${row}` : `Row ${row}, column ${letter}`
    const text = `${place}${header === undefined ? "" : ` (${excerpt(header)})`}: ${message}`
    const span = { file, start: 0, end: 0 }
    const { severity = "warning", code = "case-value" } = from ?? {}
    const help = from === undefined ? "The row is left out." : helpOf(from)
    return { ...diagnostic(severity, code, span, text, { help }), line: row, path: `${letter}${row}` }
  }
  const all = [
    ...bad.map(({ column, message }) => ({ column, said: say(column, message) })),
    ...read.diagnostics.map((each) => {
      const column = columns().get(each.path)
      return { column, said: say(column, each.message, each) }
    }),
  ]
  const diagnostics = all.sort((a, b) => (a.column ?? -1) - (b.column ?? -1)).map(({ said }) => said)
  const rejected = bad.length > 0 || read.diagnostics.some(({ code }) => !HARMLESS.has(code))
  return { diagnostics, ...(rejected ? { rejected } : read.case ? { case: read.case } : {}) }
}

/** A row is used whole or not at all, whatever a line of JSON would leave out. */
function helpOf({ code, help, hint }: CaseDiagnostic): string | undefined {
  if (HARMLESS.has(code)) return help
  return hint === undefined ? "The row is left out." : `${hint} The row is left out.`
}

/** The row as a line of JSON. */
export function rowLine(mapping: ColumnMapping, cells: readonly string[], row: number, graph: Graph): string {
  return JSON.stringify(rowContents(mapping, cells, row, graph).record)
}

/** Readings by the first test that takes them, then looks in the order of the columns. */
function rowContents(
  { columns }: ColumnMapping,
  cells: readonly string[],
  row: number,
  graph: Graph,
): RowContents {
  const contents = new RowRecord(graph, row)
  cells.forEach((raw, column) => {
    const text = raw.trim()
    if (!MISSING.has(text.toLowerCase())) contents.add(columns[column]?.role, column, text)
  })
  return contents.finish()
}

/** What the cells of one row say, gathered until the steps can be put in order. */
class RowRecord {
  readonly #graph: Graph
  readonly #record: Record<string, unknown>
  readonly #told: Record<string, string> = {}
  readonly #found = new Map<ReadingIndex, { readonly column: number; readonly value: string }>()
  readonly #minutes = new Map<number, number>()
  readonly #leftIn = new Set<number>()
  readonly #looks: { readonly column: number; readonly step: object; readonly test: number }[] = []
  readonly #faults: string[] = []
  readonly #steps: object[] = []
  /** Each place in the record with its column; of a step also the place in it. */
  readonly #places: { readonly at: string; readonly step?: number; readonly column: number }[] = []
  readonly #bad: { readonly column: number; readonly message: string }[] = []

  constructor(graph: Graph, row: number) {
    this.#graph = graph
    this.#record = { id: `row ${row}` }
  }

  add(role: Role | undefined, column: number, text: string): void {
    if (role === undefined) this.#say(column, `${excerpt(text)} is to the right of the last header.`)
    else if (role.is === "reading") this.#addReading(role, column, text)
    else if (role.is === "minutes") this.#addMinutes(role.test, column, text)
    else if (role.is === "left in") this.#addLeftIn(role.test, column, text)
    else if (isField(role)) this.#addField(role.is, column, text)
    else {
      const { step, looks } = stepOf(role, this.#graph, text.toLowerCase()) ?? {}
      if (step && looks) this.#looks.push({ column, step, test: role.is === "look" ? role.test : -1 })
      else if (step) this.#addDone(step, column, text)
    }
  }

  #say(column: number, message: string): void {
    this.#bad.push({ column, message })
  }

  /** An action that comes to nothing but being done: `yes` where it was. */
  #addDone(step: object, column: number, text: string): void {
    const said = yesOrNo(text)
    if (said === "yes") this.#looks.push({ column, step, test: -1 })
    else if (said !== "no") this.#say(column, `This is yes or no; ${excerpt(text)} is neither.`)
  }

  #addLeftIn(test: number, column: number, text: string): void {
    const said = yesOrNo(text)
    if (said === "yes") this.#leftIn.add(test)
    else if (said !== "no") this.#say(column, `This is yes or no; ${excerpt(text)} is neither.`)
  }

  #addReading({ reading, unit }: Extract<Role, { is: "reading" }>, column: number, text: string): void {
    const typed = recordedValue(this.#graph, reading, text, unit)
    if ("problem" in typed) {
      this.#say(column, typed.problem)
      return
    }
    const value = typed.said
    const { name, told } = at(this.#graph.readings, reading)
    if (!told) {
      this.#found.set(reading, { column, value })
      return
    }
    this.#told[name] = value
    this.#places.push({ at: `told.${name}`, column })
  }

  #addMinutes(test: number, column: number, text: string): void {
    const typed = typedNumber(text, "min")
    if ("problem" in typed) {
      this.#say(column, typed.problem)
      return
    }
    const value = Number(typed.said.replace(/ ?min$/, ""))
    if (value >= 0) this.#minutes.set(test, value)
    else this.#say(column, `Minutes are a number from 0 up; ${excerpt(text)} isn't.`)
  }

  #addField(field: Field, column: number, text: string): void {
    if (field === "fault" || field === "second_fault") {
      this.#places.push({ at: `faults[${this.#faults.length}]`, column })
      this.#faults.push(faultName(this.#graph, text))
      return
    }
    const said = yesOrNo(text)
    this.#record[field] = field === "came_back" && said !== undefined ? said === "yes" : text
    this.#places.push({ at: field, column })
  }

  finish(): RowContents {
    const { model, tests } = this.#graph
    model.tests.forEach(({ reads = [] }, test) => {
      if (at(tests, test).kind === "reads" && reads.every((reading) => this.#found.has(reading)))
        this.#addFindings(reads, test)
    })
    this.#addFindings([...this.#found.keys()], undefined)
    for (const { column, step, test } of this.#looks)
      this.#addStep(this.#leftIn.has(test) ? { ...step, leftIn: true } : step, test, [["found", column]])
    const told = Object.keys(this.#told).length > 0 ? { told: this.#told } : {}
    const faults = this.#faults.length > 0 ? { faults: this.#faults } : {}
    const record = { ...this.#record, ...told, steps: this.#steps, ...faults } as Fields
    return { record, columns: () => this.#columns(), bad: this.#bad }
  }

  #columns(): Map<string, number> {
    return new Map(
      this.#places.map(({ at, step, column }) => [step === undefined ? at : `steps[${step}].${at}`, column]),
    )
  }

  /** Takes these readings out of what was found, as one step. */
  #addFindings(reads: readonly ReadingIndex[], test: TestIndex | undefined): void {
    const all = reads.map(
      (reading) => [at(this.#graph.readings, reading).name, lookUp(this.#found, reading)] as const,
    )
    for (const reading of reads) this.#found.delete(reading)
    if (all.length === 0) return
    const found = Object.fromEntries(all.map(([name, { value }]) => [name, value]))
    this.#addStep(
      test === undefined ? { found } : { test: at(this.#graph.tests, test).name, found },
      test ?? -1,
      all.map(([name, { column }]) => [`found.${name}`, column] as const),
    )
  }

  #addStep(step: object, test: number, cells: readonly (readonly [string, number])[]): void {
    for (const [at, column] of cells) this.#places.push({ at, step: this.#steps.length, column })
    const minutes = this.#minutes.get(test)
    this.#steps.push(minutes === undefined ? step : { ...step, minutes })
  }
}

/** A cell as a recorded value: in the words of the reading, with the unit of the column. */
function recordedValue(
  graph: Graph,
  reading: ReadingIndex,
  text: string,
  unit: string | undefined,
): TypedNumber {
  const { unit: own } = at(graph.readings, reading)
  return own === undefined
    ? { said: spokenValues.of(graph, reading, text) ?? text }
    : typedNumber(text, unit ?? own)
}

/** A cell in the words of a reading, if it has such a word. */
const spokenValues = new KeptByReading((graph, reading, text: string): string | undefined => {
  const word = nameFrom(text)
  const values = at(graph.readings, reading).cells.flatMap((cell) => cell.values ?? [])
  const yesNo = values.length === 2 && values.includes("yes") && values.includes("no")
  const said = yesNo ? (spoken[text.toLowerCase()] ?? word) : word
  return values.find((value) => value === text || value === said)
})

/** A fault by its name, written in whatever way, or by its label. */
function faultName(graph: Graph, text: string): string {
  const name = nameFrom(text)
  const label = text.toLowerCase()
  if (name === "unlisted" || name === "not_listed") return "unlisted"
  return graph.faults.find((each) => each.name === name || each.label.toLowerCase() === label)?.name ?? text
}
