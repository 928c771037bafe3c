/**
 * Recorded cases from lines of JSON. A line that cannot be read spoils no other; a step or an answer that cannot be
 * read is left out of its case, and said so.
 */
import type { Graph } from "../../run/graph.ts"
import type { Case, Truth } from "./case.ts"
import { type CaseDiagnostic, type Place, quote, Remarks } from "./diagnostics.ts"
import { namesOf } from "./graph-lookup.ts"
import { flaw } from "./json-locations.ts"
import { type Fields, isFields, type Json, StepReader } from "./read-steps.ts"

export type { CaseDiagnostic, Place } from "./diagnostics.ts"

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
  place: Place = { file: "cases.jsonl", offset: 0 },
): ReadLine {
  const remarks = new Remarks(line, n, place)
  const json = parsed(line, n, remarks)
  const record = json && caseOf(json, n, graph, remarks)
  return { ...(record ? { case: record } : {}), diagnostics: remarks.all }
}

/** All cases of a text, line by line; lines end in LF or CRLF. */
export function* readCases(text: string, graph: Graph, file = "cases.jsonl"): Generator<ReadLine> {
  let offset = 0
  for (let n = 1; offset < text.length; n++) {
    const end = text.indexOf("\n", offset)
    const line = text.slice(offset, end < 0 ? text.length : end)
    yield readCase(line, n, graph, { file, offset })
    offset += line.length + 1
  }
}

function parsed(line: string, n: number, remarks: Remarks): Fields | undefined {
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
    remarks.error(
      "case-json",
      `Not JSON: ${says}.`,
      [],
      "Each case is one line of JSON, from `{` to `}`.",
      stretch,
    )
    return undefined
  }
  if (isFields(json)) return json
  remarks.error("case-shape", "A case is an object with `id`, `steps` and `fault`.", [])
  return undefined
}

const caseFields = ["id", "date", "complaint", "told", "steps", "fault", "confirmed", "came_back"]

function caseOf(json: Fields, n: number, graph: Graph, remarks: Remarks): Case | undefined {
  remarks.spelling(json, caseFields, [])
  const { id, date } = json
  if (typeof id !== "string" || id === "") {
    const help = 'Give it one that is not a name of a person, like `"id":"K-0412"`.'
    remarks.error("case-shape", "This case has no `id`.", id === undefined ? [] : ["id"], help)
    return undefined
  }
  checkComplaint(json.complaint, graph, remarks)
  const truth = truthOf(json.fault, graph, remarks)
  if (json.steps === undefined && json.told === undefined && json.fault === undefined) {
    const help =
      'Write what was done, like `"steps":[{"test":"meter_rail","found":{"rail":24.1}}]`, and the `fault`.'
    remarks.warn("case-shape", "This case says nothing: it has no `steps` and no `fault`.", [], help)
  }
  const reader = new StepReader(graph, remarks)
  const told = reader.told(json.told)
  const steps = reader.steps(json.steps)
  return {
    id,
    line: n,
    ...(isDate(date, remarks) ? { date } : {}),
    told,
    steps,
    truth,
    cameBack: cameBack(json.came_back, remarks),
    otherMinutes: reader.otherMinutes,
  }
}

function checkComplaint(name: Json | undefined, graph: Graph, remarks: Remarks): void {
  const wanted = graph.complaint.name
  if (name === undefined || name === null || name === wanted) return
  const help = `Replay it on the ruleset for ${quote(name)}.`
  remarks.warn("case-complaint", `This case has another complaint than \`${wanted}\`.`, ["complaint"], help)
}

function truthOf(name: Json | undefined, graph: Graph, remarks: Remarks): Truth {
  if (name === undefined || name === null || name === "") return { known: "no" }
  if (typeof name !== "string") {
    const help = "The case counts as one whose fault nobody confirmed."
    remarks.warn("case-value", `\`fault\` is the name of a fault; ${quote(name)} is not.`, ["fault"], help)
    return { known: "no" }
  }
  const { faults } = namesOf(graph)
  const fault = faults.get(name)
  if (fault !== undefined) return { known: "listed", fault }
  const message = `\`${graph.ruleset.name}\` has no fault ${quote(name)}.`
  const otherwise = "Only handing over is right for this case."
  remarks.unknown("case-fault", message, name, faults.keys(), ["fault"], otherwise)
  return { known: "unlisted", name }
}

function isDate(date: Json | undefined, remarks: Remarks): date is string {
  if (date === undefined || date === null) return false
  if (typeof date === "string" && /^\d{4}-(0\d|1[0-2])-([0-2]\d|3[01])(T|$)/.test(date)) return true
  remarks.warn("case-value", `${quote(date)} is not a date.`, ["date"], "Write it like `2026-03-09`.")
  return false
}

function cameBack(value: Json | undefined, remarks: Remarks): boolean {
  if (value === undefined || value === null || typeof value === "boolean") return value === true
  const message = `\`came_back\` is true or false; ${quote(value)} is neither.`
  remarks.warn("case-value", message, ["came_back"], "It counts as false.")
  return false
}
