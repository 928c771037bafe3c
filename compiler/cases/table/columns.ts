/** What the columns of a table of cases are, told by their headers. */

import { quote } from "../../diagnostics/escape.ts"
import { nearest } from "../../diagnostics/suggest.ts"
import type { Graph } from "../../run/graph.ts"
import { convert } from "../../run/index.ts"
import { namesOf } from "../record/graph-lookup.ts"

export type Role =
  | { readonly is: Field }
  /** `unit`: of its numbers, where the header says one. */
  | { readonly is: "reading"; readonly reading: number; readonly unit?: string }
  /** What a swap or redoing came to: `gone` or `stays`. */
  | { readonly is: "look"; readonly test: number }
  | { readonly is: "put back"; readonly part: string }
  | { readonly is: "minutes"; readonly test: number }
  /** Left alone; `why` where it is not plainly the shop's own. */
  | { readonly is: "nothing"; readonly why?: string }

export interface Column {
  /** As written. */
  readonly header: string
  /** Letter of the column in a spreadsheet. */
  readonly letter: string
  readonly role: Role
}

const fields = ["id", "date", "complaint", "fault", "confirmed", "came_back"] as const
/** What a record says of the whole job. */
export type Field = (typeof fields)[number]
const synonyms: Readonly<Record<string, Field>> = {
  case: "id",
  job: "id",
  case_id: "id",
  job_id: "id",
  job_no: "id",
  job_number: "id",
  cameback: "came_back",
  confirmed_by: "confirmed",
}

/** The columns of a header row, each with its role for this graph. */
export function columnsOf(header: readonly string[], graph: Graph): Column[] {
  const taken = new Map<string, string>()
  return header.map((written, i) => {
    // Spreadsheets begin UTF-8 with a byte order mark.
    const text = written.replace(/^\ufeff/, "")
    const letter = letterOf(i)
    const role = roleOf(text, graph)
    const key = JSON.stringify([role.is, role.is === "reading" ? role.reading : { ...role }])
    const twin = role.is === "nothing" ? undefined : taken.get(key)
    if (twin !== undefined)
      return { header: text, letter, role: { is: "nothing", why: `the same as column ${twin}` } }
    taken.set(key, letter)
    return { header: text, letter, role }
  })
}

/** A, B, … Z, AA, as spreadsheets count. */
export function letterOf(index: number): string {
  const rest = Math.floor(index / 26)
  return (rest > 0 ? letterOf(rest - 1) : "") + String.fromCharCode(65 + (index % 26))
}

/** `Rail [mV]` is `rail` in `mV`; `rail (V)` and `rail in V` are read too. */
export function headerOf(text: string): { readonly name: string; readonly unit?: string } {
  const clean = text.trim()
  const [, before, bracketed, worded] =
    /^(.*?)\s*(?:[([]\s*([^)\]]+?)\s*[)\]]|\s+in\s+(\S+))$/.exec(clean) ?? []
  const unit = bracketed ?? worded
  const name = nameFrom(before ?? clean)
  return unit === undefined ? { name } : { name, unit }
}

/** Any text as a name of the language: `Plant stand, %` is `plant_stand`, `2-4-d` is `v_2_4_d`. */
export function nameFrom(text: string): string {
  const name = text
    .normalize("NFKD")
    .toLowerCase()
    .replace(/\p{M}/gu, "")
    .replace(/[^a-z0-9]+/g, "_")
    .replace(/^_+|_+$/g, "")
  return /^[a-z]/.test(name) ? name : `v_${name}`
}

function roleOf(text: string, graph: Graph): Role {
  const { name, unit } = headerOf(text)
  const names = namesOf(graph)
  const field =
    fields.find((each) => each === name) ?? (Object.hasOwn(synonyms, name) ? synonyms[name] : undefined)
  const reading = names.readings.get(name) ?? graph.readings.findIndex(({ question }) => same(question, text))
  if (reading >= 0) return readingRole(graph, reading, unit)
  if (field !== undefined) return { is: field }
  const minutes = /^(?:minutes_(?:of_)?(.+)|(.+)_minutes)$/.exec(name)
  const timed = names.tests.get(minutes?.[1] ?? minutes?.[2] ?? (unit === "min" ? name : ""))
  if (timed !== undefined) return { is: "minutes", test: timed }
  const part = /^put_?back_(.+)$/.exec(name)?.[1]
  if (part !== undefined && names.fits.has(part)) return { is: "put back", part }
  const test = names.tests.get(name)
  if (test !== undefined) {
    const { kind } = graph.tests[test]!
    if (kind === "swaps" || kind === "redoes") return { is: "look", test }
    const reads = (graph.model.tests[test]!.reads ?? []).map((r) => `\`${graph.readings[r]!.name}\``)
    return { is: "nothing", why: `name the column after what is read: ${reads.join(", ")}` }
  }
  const known = [...names.readings.keys(), ...names.tests.keys(), ...fields]
  const meant = nearest(name, known)
  return { is: "nothing", ...(meant === undefined ? {} : { why: `did you mean \`${meant}\`?` }) }
}

function readingRole(graph: Graph, reading: number, unit: string | undefined): Role {
  const own = graph.readings[reading]!.unit
  if (unit === undefined) return { is: "reading", reading }
  if (own === undefined) return { is: "nothing", why: `\`${graph.readings[reading]!.name}\` has no unit` }
  if (convert(1, unit, own) === undefined)
    return { is: "nothing", why: `${quote(unit)} does not measure what \`${own}\` does` }
  return { is: "reading", reading, unit }
}

function same(question: string, header: string): boolean {
  return question.trim().toLowerCase() === header.trim().toLowerCase()
}
