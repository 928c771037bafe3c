/** What the columns of a table of cases hold, by their headers. */

import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import type { Graph } from "../../run/graph.ts"
import { convert } from "../../run/index.ts"
import type { ReadingIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { listedNames } from "../../wording/sentence.ts"
import { namesOf, readsOf } from "../record/graph-lookup.ts"

export type Role =
  | { readonly is: Field }
  /** `unit`: of its numbers, where the header says one. */
  | { readonly is: "reading"; readonly reading: ReadingIndex; readonly unit?: string }
  /** `gone` or `stays` after a test that looks for the complaint. */
  | { readonly is: "look"; readonly test: TestIndex }
  /** Whether the known-good parts of a swap stayed in although the complaint did. */
  | { readonly is: "left in"; readonly test: TestIndex }
  /** `part` and `fault` are names. */
  | { readonly is: "take out" | "put back" | "keep" | "replace"; readonly part: string }
  | { readonly is: "fix"; readonly fault: string }
  | { readonly is: "look again" | "close" | "hand over" }
  | { readonly is: "minutes"; readonly test: TestIndex }
  /** Ignored; `why` where it looks like something that could be read. */
  | { readonly is: "nothing"; readonly why?: string }

export interface Column {
  /** As written. */
  readonly header: string
  /** Letter of the column in a spreadsheet. */
  readonly letter: string
  readonly role: Role
}

export const FIELDS = ["id", "date", "complaint", "fault", "second_fault", "confirmed", "came_back"] as const
/** What a record says of the whole job. */
export type Field = (typeof FIELDS)[number]
const synonyms: Readonly<Record<string, Field>> = {
  case: "id",
  job: "id",
  case_id: "id",
  job_id: "id",
  job_no: "id",
  job_number: "id",
  cameback: "came_back",
  confirmed_by: "confirmed",
  other_fault: "second_fault",
}

/** What a column is taken for, for whoever checks an import. */
export function roleText({ role }: Column, graph: Graph): string {
  switch (role.is) {
    case "reading": {
      const { name, told, unit } = at(graph.readings, role.reading)
      const numbers = unit === undefined ? "" : `, numbers in ${role.unit ?? unit}`
      return `${told ? "told question" : "reading"} \`${name}\`${numbers}`
    }
    case "look":
      return `\`gone\` or \`stays\` after \`${at(graph.tests, role.test).name}\``
    case "left in":
      return `whether the parts of \`${at(graph.tests, role.test).name}\` stayed in`
    case "put back":
      return `\`gone\` or \`stays\` after the old \`${role.part}\` went back`
    case "replace":
      return `\`gone\` or \`stays\` after a new \`${role.part}\` was fitted`
    case "take out":
      return `whether the known-good \`${role.part}\` came out again`
    case "keep":
      return `whether the known-good \`${role.part}\` stayed in for good`
    case "fix":
      return `\`gone\` or \`stays\` after \`${role.fault}\` was fixed`
    case "look again":
      return "`gone` or `stays` at another look"
    case "close":
      return "`holds` or `fails`: the proof run"
    case "hand over":
      return "whether the machine was handed over"
    case "minutes":
      return `minutes of \`${at(graph.tests, role.test).name}\``
    case "nothing":
      return role.why === undefined ? "nothing" : `nothing: ${role.why}`
    default:
      return `\`${role.is}\``
  }
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

/** A longer header names nothing that a ruleset has. */
const LONGEST_HEADER = 1000

/** `Rail [mV]` is `rail` in `mV`; `rail (V)` and `rail in V` are read too. */
export function headerOf(text: string): { readonly name: string; readonly unit?: string } {
  const clean = text.slice(0, LONGEST_HEADER).trim()
  const { before, unit } = bracketed(clean) ?? worded(clean) ?? { before: clean, unit: undefined }
  const name = nameFrom(before)
  return unit === undefined ? { name } : { name, unit }
}

/** `before (unit)` or `before [unit]` at the end of a text. */
function bracketed(text: string): { before: string; unit: string } | undefined {
  if (!/[)\]]$/.test(text)) return undefined
  const open = Math.max(text.lastIndexOf("("), text.lastIndexOf("["))
  const unit = text.slice(open + 1, -1).trim()
  return open < 0 || unit === "" || /[)\]]/.test(unit) ? undefined : { before: text.slice(0, open), unit }
}

/** `before in unit`. */
function worded(text: string): { before: string; unit: string } | undefined {
  const words = text.split(/\s+/)
  const unit = words.pop()
  return words.pop() === "in" && words.length > 0 && unit ? { before: words.join(" "), unit } : undefined
}

/** Any text as a name of the language: `Plant stand, %` is `plant_stand`, `2-4-d` is `v_2_4_d`. */
export function nameFrom(text: string): string {
  const name = text
    .normalize("NFKD")
    .toLowerCase()
    .replace(/\p{M}/gu, "")
    .replace(/[^a-z0-9]+/g, "_")
    .replace(/^_|_$/g, "")
  return /^[a-z]/.test(name) ? name : `v_${name}`
}

function roleOf(text: string, graph: Graph): Role {
  const { name, unit } = headerOf(text)
  const names = namesOf(graph)
  const field =
    FIELDS.find((each) => each === name) ?? (Object.hasOwn(synonyms, name) ? synonyms[name] : undefined)
  const reading = names.readings.get(name) ?? graph.readings.findIndex(({ question }) => same(question, text))
  if (reading !== -1) return readingRole(graph, reading, unit)
  if (field !== undefined) return { is: field }
  const minutes = /^(?:minutes_(?:of_)?(.+)|(.+)_minutes)$/.exec(name)
  const timed = names.tests.get(minutes?.[1] ?? minutes?.[2] ?? (unit === "min" ? name : ""))
  if (timed !== undefined) return { is: "minutes", test: timed }
  // What looks like a unit may be the object: `left in try_lid`.
  const action = actionRole(nameFrom(text), graph)
  if (action !== undefined) return action
  const test = names.tests.get(name)
  if (test !== undefined) {
    const reads = readsOf(graph, test)
    if (reads === undefined) return { is: "look", test }
    const read = listedNames(reads.map((reading) => at(graph.readings, reading).name))
    return { is: "nothing", why: `name the column after what is read: ${read}` }
  }
  const known = [...names.readings.keys(), ...names.tests.keys(), ...FIELDS]
  const meant = closest(name, known)
  return { is: "nothing", ...(meant === undefined ? {} : { why: `did you mean \`${meant}\`?` }) }
}

/** `put back lid`, `replace lid`, `fix lid_bent`, `left in try_lid`, `look again`, `close`, `hand over`. */
function actionRole(name: string, graph: Graph): Role | undefined {
  const { parts, swaps, faults, tests } = namesOf(graph)
  const [, verb, object = ""] =
    /^(take_?out|put_?back|keep|kept|replaced?|fix(?:ed)?|left_in)_(.+)$/.exec(name) ?? []
  if (verb === undefined) {
    if (/^(look|looked)_again$/.test(name)) return { is: "look again" }
    if (/^(close|closed|proof_run)$/.test(name)) return { is: "close" }
    return /^hand(ed)?_over$/.test(name) ? { is: "hand over" } : undefined
  }
  if (verb.startsWith("fix")) return faults.has(object) ? { is: "fix", fault: object } : undefined
  if (verb === "left_in") {
    const test = tests.get(object)
    return test !== undefined && at(graph.tests, test).kind === "swaps" ? { is: "left in", test } : undefined
  }
  const part = parts.get(object)
  if (part === undefined) return undefined
  if (verb.startsWith("replace")) return { is: "replace", part: object }
  if (!swaps.has(part)) return undefined
  return {
    is: verb.startsWith("k") ? "keep" : verb.startsWith("take") ? "take out" : "put back",
    part: object,
  }
}

function readingRole(graph: Graph, reading: ReadingIndex, unit: string | undefined): Role {
  const own = at(graph.readings, reading).unit
  if (unit === undefined) return { is: "reading", reading }
  if (own === undefined) return { is: "nothing", why: `\`${at(graph.readings, reading).name}\` has no unit` }
  if (convert(1, unit, own) === undefined)
    return { is: "nothing", why: `${excerpt(unit)} does not measure what \`${own}\` does` }
  return { is: "reading", reading, unit }
}

function same(question: string, header: string): boolean {
  return question.trim().toLowerCase() === header.trim().toLowerCase()
}
