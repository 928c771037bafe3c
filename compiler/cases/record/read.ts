/**
 * Recorded cases from lines of JSON. A line that cannot be read does not affect the others; a step or an answer that cannot
 * be read is left out of its case, and a diagnostic says so.
 */

import type { Graph } from "../../run/graph.ts"
import type { FaultIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { isDay } from "./calendar.ts"
import type { Case, Confirmed } from "./case.ts"
import { type CaseDiagnostic, LineDiagnostics, type LinePlace, quote } from "./diagnostics.ts"
import { namesOf } from "./graph-lookup.ts"
import { doubledId, Ids } from "./ids.ts"
import { flaw, type Path } from "./json-locations.ts"
import { linesOf } from "./lines.ts"
import { type Fields, isFields, type Json, StepReader } from "./read-steps.ts"

export type { CaseDiagnostic, LinePlace } from "./diagnostics.ts"

export interface ReadLine {
  /** Absent where the line is empty or cannot be used at all. */
  readonly case?: Case
  readonly diagnostics: readonly CaseDiagnostic[]
}

/** Reads line `n` (from 1) of a file of cases for this graph. Never throws. */
export function readCase(
  line: string,
  n: number,
  graph: Graph,
  place: LinePlace = { file: "cases.jsonl", offset: 0 },
): ReadLine {
  const diagnostics = new LineDiagnostics(() => line, n, place)
  const json = parsed(line, n, diagnostics)
  const record = json && caseOf(json, n, graph, diagnostics, place.today)
  return { ...(record ? { case: record } : {}), diagnostics: diagnostics.all }
}

/** The same of a record that is not a line of text but will be said to be one. */
export function readRecord(record: Fields, n: number, graph: Graph, place: LinePlace): ReadLine {
  const diagnostics = new LineDiagnostics(() => JSON.stringify(record), n, place)
  const read = caseOf(record, n, graph, diagnostics, place.today)
  return { ...(read ? { case: read } : {}), diagnostics: diagnostics.all }
}

/** All cases of a text, line by line; a line ends with LF, CR LF or CR. Of two cases with one id the first is used. */
export function* readCases(text: string, graph: Graph, file = "cases.jsonl"): Generator<ReadLine> {
  const ids = new Ids()
  for (const { line, n, offset } of linesOf(text)) {
    const place = { file, offset }
    const read = readCase(line, n, graph, place)
    const id = read.case?.id
    const before = id === undefined ? undefined : ids.before(id, n)
    if (id === undefined || before === undefined) yield read
    else yield { diagnostics: [...read.diagnostics, sameId(line, n, place, id, before)] }
  }
}

/** Where a case has the id of the one in line `before`. */
export function sameId(
  line: string,
  n: number,
  place: LinePlace,
  id: string,
  before: number,
): CaseDiagnostic {
  const diagnostics = new LineDiagnostics(() => line, n, place)
  const message = doubledId(quote(id), `line ${before}`)
  diagnostics.error("case-shape", message, ["id"], "It is left out: remove it, or give it an id of its own.")
  return at(diagnostics.all, 0)
}

function parsed(line: string, n: number, diagnostics: LineDiagnostics): Fields | undefined {
  // A byte order mark belongs to no line.
  const text = n === 1 && line.charCodeAt(0) === 0xfeff ? line.slice(1) : line
  if (text.trim() === "") return undefined
  let json: Json
  try {
    json = JSON.parse(text) as Json
  } catch {
    const { at, says } = flaw(text) ?? { at: 0, says: "it cannot be read" }
    const start = at + line.length - text.length
    const stretch = { start, end: Math.min(start + 1, line.length) }
    diagnostics.error(
      "case-json",
      `Not valid JSON: ${says}.`,
      [],
      n === 1 && isTable(text) ? TABLE_HINT : "Each case is one line of JSON, from `{` to `}`.",
      stretch,
    )
    return undefined
  }
  if (isFields(json)) return json
  diagnostics.error("case-shape", "A case is an object with `id`, `steps` and `faults`.", [])
  return undefined
}

const TABLE_HINT =
  "This looks like a table. Name a file that ends in `.csv` or `.tsv`, or make cases of it with `ruleout import`."

/** A header: names with something between them, and no brace before. */
function isTable(line: string): boolean {
  return /^\s*"?[\p{L}\p{N}]/u.test(line) && /[,;\t]/.test(line)
}

/** What is longer names nothing: ids, and the names of faults that a ruleset doesn't have. */
const LONGEST_NAME = 200

const CASE_FIELDS = [
  "id",
  "date",
  "complaint",
  "told",
  "steps",
  "faults",
  "fault",
  "confirmed",
  "came_back",
  "owner_stops_at",
  "not_worth_repairing",
]

function caseOf(
  json: Fields,
  n: number,
  graph: Graph,
  diagnostics: LineDiagnostics,
  today: string | undefined,
): Case | undefined {
  diagnostics.spelling(json, CASE_FIELDS, [])
  const { id, date } = json
  if (typeof id !== "string" || id === "") {
    const help = 'Give it one that does not name a person, like `"id":"K-0412"`.'
    diagnostics.error("case-shape", "This case has no `id`.", id === undefined ? [] : ["id"], help)
    return undefined
  }
  if (id.length > LONGEST_NAME) {
    const message = `This case has an \`id\` of ${id.length} characters; it may have ${LONGEST_NAME}.`
    diagnostics.error("case-shape", message, ["id"])
    return undefined
  }
  checkComplaint(json.complaint, graph, diagnostics)
  const confirmed = confirmedIn(json, graph, diagnostics)
  if ([json.steps, json.told, json.fault, json.faults].every((field) => field === undefined)) {
    const help =
      'Write what was done, like `"steps":[{"test":"meter_rail","found":{"rail":24.1}}]`, and the `faults`.'
    diagnostics.warn(
      "case-shape",
      "This case is empty: it has no `steps` and no `faults`.",
      [],
      undefined,
      help,
    )
  }
  checkLimit(json.owner_stops_at, diagnostics)
  const reader = new StepReader(graph, diagnostics)
  const told = reader.told(json.told)
  const steps = reader.steps(json.steps)
  const day = dateIn(date, diagnostics, today)
  if (day === null) return undefined
  return {
    id,
    line: n,
    ...(day === undefined ? {} : { date: day }),
    told,
    steps,
    confirmed,
    ...(typeof json.confirmed === "string" && json.confirmed !== "" ? { confirmedBy: json.confirmed } : {}),
    cameBack: isSo("came_back", json.came_back, diagnostics),
    ...(isSo("not_worth_repairing", json.not_worth_repairing, diagnostics)
      ? { notWorthRepairing: true }
      : {}),
    otherMinutes: reader.otherMinutes,
  }
}

function checkComplaint(name: Json | undefined, graph: Graph, diagnostics: LineDiagnostics): void {
  const wanted = graph.complaint.name
  if (name === undefined || name === null || name === wanted) return
  const help = `Replay it on the ruleset for ${quote(name)}.`
  diagnostics.warn(
    "case-complaint",
    `The complaint of this case isn't \`${wanted}\`.`,
    ["complaint"],
    undefined,
    help,
  )
}

const NOT_CONFIRMED = "The case counts as one in which nobody confirmed a fault."
const RIGHT_TO_HAND_OVER = "Only handing over is right for this case."

/** `faults` as it is written now, or `fault` as version 1 had it. */
function confirmedIn({ faults, fault }: Fields, graph: Graph, diagnostics: LineDiagnostics): Confirmed {
  if (faults === undefined || faults === null)
    return confirmedOf(fault ? [fault] : [], [["fault"]], graph, diagnostics)
  const names = Array.isArray(faults) ? (faults as readonly Json[]) : [faults]
  const paths = Array.isArray(faults) ? names.map((_, i) => ["faults", i]) : [["faults"]]
  return confirmedOf(names, paths, graph, diagnostics)
}

function confirmedOf(
  names: readonly Json[],
  paths: readonly Path[],
  graph: Graph,
  diagnostics: LineDiagnostics,
): Confirmed {
  const known = namesOf(graph).faults
  const found = new Set<FaultIndex>()
  let unlisted: string | undefined
  for (const [i, name] of names.entries()) {
    const path = paths[i] ?? []
    if (typeof name !== "string") {
      diagnostics.warn(
        "case-value",
        `A fault is given by its name; ${quote(name)} is not one.`,
        path,
        NOT_CONFIRMED,
      )
      return { kind: "unknown" }
    }
    const fault = known.get(name)
    if (fault !== undefined) found.add(fault)
    else {
      unlisted ??= name.length > LONGEST_NAME ? `${name.slice(0, LONGEST_NAME)}…` : name
      if (name === "unlisted") continue
      const message = `\`${graph.ruleset.name}\` has no fault ${quote(name)}.`
      diagnostics.unknownName("case-fault", message, name, known.keys(), path, RIGHT_TO_HAND_OVER)
    }
  }
  const faults = [...found].sort((a, b) => a - b)
  if (unlisted !== undefined) return { kind: "unlisted", name: unlisted }
  if (faults.length === 0) return { kind: "unknown" }
  if (faults.length <= 2) return { kind: "faults", faults }
  const message = "A ruleset knows of two faults at most in one machine; this case has more."
  diagnostics.warn("case-fault", message, ["faults"], RIGHT_TO_HAND_OVER)
  return { kind: "unlisted", name: faults.map((each) => at(graph.faults, each).name).join(", ") }
}

/** Undefined where there is none, and null where it makes the record one that can't be true. */
function dateIn(
  date: Json | undefined,
  diagnostics: LineDiagnostics,
  today: string | undefined,
): string | undefined | null {
  if (date === undefined || date === null) return undefined
  const isReal = typeof date === "string" ? isDay(date) : undefined
  if (isReal === undefined) {
    const help = "Write it like `2026-03-09`."
    diagnostics.warn("case-value", `${quote(date)} is not a date.`, ["date"], undefined, help)
    return undefined
  }
  const day = date as string
  if (!isReal) {
    diagnostics.error("case-value", `There is no such day as ${quote(day.slice(0, 10))}.`, ["date"])
    return null
  }
  if (today !== undefined && day.slice(0, 10) > today)
    diagnostics.warn(
      "case-value",
      `${quote(day.slice(0, 10))} is yet to come.`,
      ["date"],
      undefined,
      "Is the year right?",
    )
  return day
}

function checkLimit(value: Json | undefined, diagnostics: LineDiagnostics): void {
  if (value === undefined || value === null || (typeof value === "number" && value > 0)) return
  const message = `\`owner_stops_at\` is an amount above 0; ${quote(value)} is not.`
  diagnostics.warn("case-value", message, ["owner_stops_at"], "It is left out.")
}

function isSo(field: string, value: Json | undefined, diagnostics: LineDiagnostics): boolean {
  if (value === undefined || value === null || typeof value === "boolean") return value === true
  const message = `\`${field}\` is true or false; ${quote(value)} is neither.`
  diagnostics.warn("case-value", message, [field], "It counts as false.")
  return false
}
