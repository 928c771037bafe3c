/**
 * A ruleset drafted from nothing but a table of cases: one fault for each that was confirmed, one reading for each column
 * of findings, and their numbers estimated as naive Bayes does, with T. Mitchell's m-estimate (Machine Learning, 1997,
 * 6.9.1.1): (count + weight × what was thought before) / (cases + weight).
 */

import { addTo, at, lookUp } from "../../run/lookup.ts"
import { print } from "../../syntax/format/format.ts"
import { KEYWORDS } from "../../syntax/language/keywords.ts"
import { parse } from "../../syntax/parser/parse.ts"
import { countOf } from "../../wording/figures.ts"
import { headerOf, letterOf, nameFrom } from "../table/columns.ts"
import { type Drawn, drawReading, isMissing } from "./draft-reading.ts"
import { figure, percents } from "./patch.ts"

export interface Table {
  readonly header: readonly string[]
  readonly rows: readonly (readonly string[])[]
}

export interface DraftOptions {
  /** Of the ruleset, as a name. */
  readonly name: string
  /** How many cases what was thought before counts as: equal odds, and every value of a reading alike. */
  readonly weight: number
  /** Significant figures of the numbers written. */
  readonly digits: number
  /** Whether a row is counted; the others only say which faults and values there are. */
  readonly counted?: (row: number) => boolean
}

export interface Draft {
  readonly text: string
  /** Columns left out, and why. */
  readonly notes: readonly string[]
}

/** Columns that hold no findings. */
const ASIDE = new Set(["id", "case", "job", "confirmed", "confirmed_by", "came_back", "complaint"])
const PLACES = ["part", "setup", "place"]

/** @throws RangeError where the table has no column `fault`, or no row with one. */
export function draft({ header, rows }: Table, options: DraftOptions): Draft {
  const names = header.map((text) => headerOf(text).name)
  const faultColumn = names.findLastIndex((name) => name === "fault" || name === "class")
  if (faultColumn < 0) throw new RangeError("There is no column `fault`.")
  const placeColumn = names.findIndex((name) => PLACES.includes(name))
  const known = rows.filter((row) => !isMissing(row[faultColumn]))
  const labels = [...new Set(known.map((row) => at(row, faultColumn).trim()))].sort()
  if (labels.length === 0) throw new RangeError("No row has a fault.")

  const taken = new Set<string>(KEYWORDS)
  const unused = (wanted: string) => {
    let name = wanted
    for (let n = 2; taken.has(name); n++) name = `${wanted}_${n}`
    taken.add(name)
    return name
  }
  const counted = rows.filter((row, i) => !isMissing(row[faultColumn]) && (options.counted?.(i) ?? true))
  const of = new Map(
    labels.map((label) => [label, counted.filter((row) => at(row, faultColumn).trim() === label)]),
  )

  const notes: string[] = []
  const readings: (Drawn & { readonly column: number })[] = []
  header.forEach((text, column) => {
    if (column === faultColumn || column === placeColumn || ASIDE.has(at(names, column))) return
    const values = rows.map((row) => row[column]?.trim() ?? "")
    const drawn = drawReading(text, values, unused)
    if (typeof drawn === "string")
      notes.push(`Column ${letterOf(column)} (\`${text}\`) is left out: ${drawn}`)
    else readings.push({ ...drawn, column })
  })

  const faults = labels.map((label) => ({ label, name: unused(nameFrom(label)), rows: lookUp(of, label) }))
  const placed = placesOf(faults, placeColumn, unused)
  const lines = textOf({ faults, readings, placed, cases: counted.length }, options, unused)
  return { text: print(parse("draft.ruleout", lines.join("\n")).tree), notes }
}

interface Contents {
  readonly faults: readonly { label: string; name: string; rows: readonly (readonly string[])[] }[]
  readonly readings: readonly (Drawn & { readonly column: number })[]
  readonly placed: { readonly lines: readonly string[]; readonly of: ReadonlyMap<string, string> }
  /** Cases counted. */
  readonly cases: number
}

/** The lines of the ruleset, not yet in the formatter's form. */
function textOf(
  { faults, readings, placed, cases }: Contents,
  { name, weight, digits }: DraftOptions,
  unused: (name: string) => string,
): string[] {
  const decimals = Math.max(1, digits - 2)
  return [
    "# Drafted from recorded cases. Cases can't tell which part or setup each fault is in, what parts cost, or how long",
    "# each test takes and what it needs: these are guesses. Correct them, then run `ruleout check`.",
    `ruleset ${name} ${quoted(`Drafted from ${countOf(cases, "case")}`)}`,
    "",
    ...placed.lines,
    "",
    `complaint ${unused("complaint_as_told")} "what brought the machine in: put it in words"`,
    "",
    ...faults.flatMap(({ label, name, rows }) => [
      `fault ${name} ${quoted(label)} in ${lookUp(placed.of, name)} odds ${figure(rows.length + weight / faults.length, digits)}`,
      ...readings.flatMap((reading) => shows(reading, rows, weight, decimals)),
    ]),
    "",
    ...readings.map(({ declaration }) => declaration),
    "",
    ...readings
      .filter(({ told }) => !told)
      .map(
        ({ name, question }) =>
          `test ${unused(`look_${name}`)} ${quoted(`Find out: ${question}`)} reads ${name} takes 1 min`,
      ),
  ]
}

/** What a fault's cases showed. Values that none of them had share the rest, as they would unwritten. */
function shows(
  { name, conditions, categoryOf, shares, column }: Drawn & { readonly column: number },
  rows: readonly (readonly string[])[],
  weight: number,
  decimals: number,
): string[] {
  const counts = shares.map(() => 0)
  let all = 0
  for (const row of rows) {
    const category = categoryOf(row[column]?.trim() ?? "")
    if (category < 0) continue
    addTo(counts, category, 1)
    all++
  }
  if (all === 0) return []
  const chances = counts.map((n, k) => (n + weight * at(shares, k)) / (all + weight))
  let seen = chances.flatMap((_, k) => (at(counts, k) > 0 ? [k] : []))
  // Where every value was seen, the rarest is the rest.
  if (seen.length === chances.length)
    seen = seen.filter((k) => k !== chances.lastIndexOf(Math.min(...chances)))
  const rest = 1 - seen.reduce((sum, k) => sum + at(chances, k), 0)
  const all100 = [...seen.map((k) => at(chances, k)), rest]
  const written = percents(all100, all100, true, decimals)
  return seen.map((k, i) => `  shows ${name} ${at(conditions, k)} ${written[i]}%`)
}

/** The places that the table names, each fault in the one it was found in most; else a part for each fault. */
function placesOf(
  faults: readonly { label: string; name: string; rows: readonly (readonly string[])[] }[],
  column: number,
  unused: (name: string) => string,
): { lines: string[]; of: Map<string, string> } {
  const of = new Map<string, string>()
  const lines: string[] = []
  const declared = new Map<string, string>()
  for (const { label, name, rows } of faults) {
    const counts = new Map<string, number>()
    if (column >= 0)
      for (const row of rows)
        if (!isMissing(row[column]))
          counts.set(at(row, column).trim(), (counts.get(at(row, column).trim()) ?? 0) + 1)
    const [found] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? []
    const text = found ?? `where it is: ${label}`
    let place = declared.get(text)
    if (place === undefined) {
      place = unused(found === undefined ? `at_${name}` : nameFrom(found))
      declared.set(text, place)
      lines.push(`part ${place} ${quoted(text)}`)
    }
    of.set(name, place)
  }
  return { lines, of }
}

function quoted(text: string): string {
  return `"${text.replace(/\s+/g, " ").replace(/["\\]/g, "\\$&")}"`
}
