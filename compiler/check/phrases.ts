import type { Label } from "../diagnostics/diagnostic.ts"
import type { CellSet, Grid, Model, Reading, Rule } from "../model/model.ts"
import type { Elimination } from "./eliminations.ts"
import type { Findings, Formula } from "./logic/formula.ts"

/** `a`, `a and b`, `a, b and c`. */
export function listed(items: readonly string[], last = "and"): string {
  return items.length < 2 ? (items[0] ?? "") : `${items.slice(0, -1).join(", ")} ${last} ${items.at(-1)}`
}

const SMALL = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]

/** `three rules`, `one rule`, `12 rules`. */
export function counted(count: number, noun: string, plural = `${noun}s`): string {
  return `${SMALL[count] ?? count} ${count === 1 ? noun : plural}`
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

export function tick(name: string): string {
  return `\`${name}\``
}

export function faultNames(model: Model, faults: readonly number[], most = 6): string {
  const names = faults.slice(0, most).map((fault) => tick(model.faults[fault]!.name))
  return faults.length > most ? `${names.join(", ")} and ${faults.length - most} more` : listed(names)
}

export function ruleName(rule: Rule): string {
  return rule.name === undefined ? `the rule on line ${rule.line}` : tick(rule.name)
}

/** `4.2 %`, with as many digits as tell something. */
export function percent(chance: number): string {
  const value = chance * 100
  return `${value >= 10 || value === 0 ? Math.round(value * 10) / 10 : Number(value.toPrecision(2))} %`
}

export function money(amount: number, model: Model): string {
  return `${Math.round(amount * 100) / 100} ${model.ruleset.money}`
}

/** The value at an index of a grid, with the decimals of its step. */
export function gridValue(grid: Grid, index: number): string {
  const decimals = Math.max(decimalsOf(grid.by), decimalsOf(grid.from))
  return String(Number((grid.from + index * grid.by).toFixed(decimals)))
}

function decimalsOf(value: number): number {
  const [digits, exponent] = String(value).split("e") as [string, string?]
  const point = digits.indexOf(".")
  return Math.max(0, (point < 0 ? 0 : digits.length - point - 1) - Number(exponent ?? 0))
}

/** Runs of consecutive cells: `[first, last]`, both included. */
export function runs(cells: CellSet): [number, number][] {
  const found: [number, number][] = []
  for (const [cell, flag] of cells.entries()) {
    if (!flag) continue
    const run = found.at(-1)
    if (run !== undefined && run[1] === cell - 1) run[1] = cell
    else found.push([cell, cell])
  }
  return found
}

/** The comparison that picks these cells, in the language itself: `between 15 and 22.7 V`, `is not yes`. */
export function comparison(reading: Reading, cells: CellSet): string {
  const { grid } = reading
  if (grid === undefined) {
    const chosen = reading.cells.flatMap((cell, i) => (cells[i] ? [cell.value ?? cell.label] : []))
    const others = reading.cells.flatMap((cell, i) => (cells[i] ? [] : [cell.value ?? cell.label]))
    if (chosen.length === 1) return `is ${chosen[0]}`
    if (others.length === 1) return `is not ${others[0]}`
    return chosen.length === 0 ? "is none of its values" : `is one of ${chosen.join(", ")}`
  }
  const found = runs(cells)
  if (found.length === 0) return `at none of the values from ${span(grid, 0, grid.count - 1, "to")}`
  const open = runs(cells.map((flag) => !flag))
  if (found.length === 2 && open.length === 1) {
    return `outside ${span(grid, reading.cells[open[0]![0]]!.first!, reading.cells[open[0]![1]]!.last!, "and")}`
  }
  return found
    .map(([first, last]) => range(grid, reading.cells[first]!.first!, reading.cells[last]!.last!))
    .join(" or ")
}

function range(grid: Grid, first: number, last: number): string {
  const end = grid.count - 1
  // Of two limits that mean the same, an author is likely to have written the shorter.
  if (first === 0 && last < end) {
    const [most, next] = [gridValue(grid, last), gridValue(grid, last + 1)]
    return most.length <= next.length ? `at most ${most} ${grid.unit}` : `below ${next} ${grid.unit}`
  }
  if (last === end && first > 0) {
    const [least, before] = [gridValue(grid, first), gridValue(grid, first - 1)]
    return least.length <= before.length ? `at least ${least} ${grid.unit}` : `above ${before} ${grid.unit}`
  }
  return `between ${span(grid, first, last, "and")}`
}

function span(grid: Grid, first: number, last: number, word: string): string {
  return `${gridValue(grid, first)} ${word} ${gridValue(grid, last)} ${grid.unit}`
}

/** A formula in the words of the language, readings in backticks. */
export function phrase(model: Model, formula: Formula): string {
  return wording(model, formula, tick)
}

/** The same as source text. */
export function source(model: Model, formula: Formula): string {
  return wording(model, formula, (name) => name)
}

function wording(model: Model, formula: Formula, name: (name: string) => string): string {
  if (formula.kind === "in") {
    const reading = model.readings[formula.reading]!
    const text = comparison(reading, formula.cells)
    // Several ranges are several comparisons.
    const parts = text.startsWith("is") ? [text] : text.split(" or ")
    const all = parts.map((part) => `${name(reading.name)} ${part}`)
    return all.length > 1 ? `(${all.join(" or ")})` : all[0]!
  }
  const items = formula.items.map((item) => {
    const text = wording(model, item, name)
    return item.kind === "or" && formula.kind === "and" && !text.startsWith("(") ? `(${text})` : text
  })
  return items.join(` ${formula.kind} `)
}

/** What a technician would have found: "`rail` at 12.6 V and `glow` yes". A cell is told by a value from its middle. */
export function found(model: Model, findings: Findings): string {
  const parts = findings.flatMap((cell, reading) =>
    cell < 0 ? [] : [foundCell(model.readings[reading]!, cell)],
  )
  return parts.length === 0 ? "nothing read yet" : listed(parts)
}

export function foundCell({ name, grid, cells }: Reading, cell: number): string {
  const { value, label, first, last } = cells[cell]!
  return grid === undefined || first === undefined || last === undefined
    ? `${tick(name)} ${value ?? label}`
    : `${tick(name)} at ${gridValue(grid, (first + last) >> 1)} ${grid.unit}`
}

/** What an elimination is called in a sentence. */
export function eliminationName(model: Model, { rule, from, formula, out }: Elimination): string {
  if (rule !== undefined) return ruleName(model.rules[rule]!)
  const reading = formula.kind === "in" ? model.readings[formula.reading]!.name : ""
  return from === "normally"
    ? `what ${tick(reading)} normally is`
    : `what ${faultNames(model, out)} shows on ${tick(reading)}`
}

export function eliminationLabels(model: Model, eliminations: readonly Elimination[]): Label[] {
  return eliminations.map(({ span, out, from, formula }) => {
    if (from === undefined) return { span, text: `rules out ${faultNames(model, out, 3)}` }
    return {
      span,
      text: `leaves no chance to ${phrase(model, formula)}${from === "shows" ? "" : ` with ${faultNames(model, out, 3)}`}`,
    }
  })
}
