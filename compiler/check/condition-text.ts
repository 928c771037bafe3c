import type { Model } from "../model/model.ts"
import type { CellIndex, ReadingIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { comparisons, typicalValue } from "../wording/ranges.ts"
import { backticked, listed } from "../wording/sentence.ts"
import type { Findings, Formula } from "./logic/formula.ts"

/** A formula in the words of the language, readings in backticks. */
export function conditionText(model: Model, formula: Formula): string {
  return write(model, formula, backticked)
}

/** The same as source text. */
export function conditionSource(model: Model, formula: Formula): string {
  return write(model, formula, (name) => name)
}

function write(model: Model, formula: Formula, nameOf: (name: string) => string): string {
  if (formula.kind === "in") {
    const reading = at(model.readings, formula.reading)
    const parts = comparisons(reading, formula.cells).map((part) => `${nameOf(reading.name)} ${part}`)
    return parts.length > 1 ? `(${parts.join(" or ")})` : at(parts, 0)
  }
  const items = formula.items.map((item) => {
    const text = write(model, item, nameOf)
    return item.kind === "or" && formula.kind === "and" ? `(${text})` : text
  })
  return items.join(` ${formula.kind} `)
}

/** What a technician would have found: "`rail` at 12.6 V and `glow` yes". A cell is told by a value from its middle. */
export function findingsText(model: Model, findings: Findings): string {
  const parts = findings.flatMap((cell, reading) => (cell === -1 ? [] : [findingText(model, reading, cell)]))
  return parts.length === 0 ? "nothing read yet" : listed(parts)
}

export function findingText(model: Model, reading: ReadingIndex, cell: CellIndex): string {
  const { name, grid } = at(model.readings, reading)
  const value = typicalValue(at(model.readings, reading), cell)
  return grid === undefined ? `${backticked(name)} ${value}` : `${backticked(name)} at ${value}`
}

/** Said where the search for the fewest findings had to stop. */
export function limitNote(smallest: boolean): string {
  return smallest ? "" : " (Fewer findings may be enough: the search reached its limit.)"
}
