import type { CellSet, Condition } from "../../model/model.ts"
import type { CellIndex, ReadingIndex, Table } from "../../run/indexes.ts"
import { flaggedRuns } from "../../wording/ranges.ts"

/**
 * A condition in negation normal form: `not` has been moved inwards into the sets of cells. On partial findings such a
 * formula is *known true* in Kleene's logic exactly when it is true with every atom on an unread reading taken as false,
 * so one monotone formula serves for both complete and partial findings.
 */
export type Formula =
  | { readonly kind: "in"; readonly reading: ReadingIndex; readonly cells: CellSet }
  | { readonly kind: "and" | "or"; readonly items: readonly Formula[] }

export const NEVER: Formula = { kind: "or", items: [] }

/** Findings: the cell of each reading by index, -1 if it has not been read. */
export type Findings = Table<ReadingIndex, CellIndex | -1>

export function normal(condition: Condition, positive = true): Formula {
  if (condition.kind === "not") return normal(condition.item, !positive)
  if (condition.kind === "in") {
    const cells = positive ? condition.cells : condition.cells.map((flag) => !flag)
    return { kind: "in", reading: condition.reading, cells }
  }
  const items: Formula[] = []
  const kind = positive === (condition.kind === "and") ? "and" : "or"
  for (const item of condition.items) {
    const part = normal(item, positive)
    if (part.kind === kind) items.push(...part.items)
    else items.push(part)
  }
  return joined(kind, items)
}

/** Known true if the formula is known false. */
export function negated(formula: Formula): Formula {
  if (formula.kind === "in") return { ...formula, cells: formula.cells.map((flag) => !flag) }
  return { kind: formula.kind === "and" ? "or" : "and", items: formula.items.map(negated) }
}

/** A single item stands for itself. */
function joined(kind: "and" | "or", items: readonly Formula[]): Formula {
  const [only] = items
  return only !== undefined && items.length === 1 ? only : { kind, items }
}

/** Any of the formulas, the comparisons of one reading made one: that many conditions take no more than one does. */
export function union(formulas: readonly Formula[]): Formula {
  const comparisons = new Map<ReadingIndex, Table<CellIndex, boolean> & boolean[]>()
  const items: Formula[] = []
  for (const formula of formulas) {
    if (formula.kind !== "in") {
      items.push(formula)
      continue
    }
    const cells = comparisons.get(formula.reading) ?? formula.cells.slice()
    comparisons.set(formula.reading, cells)
    for (const [first, last] of flaggedRuns(formula.cells)) cells.fill(true, first, last + 1)
  }
  for (const [reading, cells] of comparisons) items.push({ kind: "in", reading, cells })
  return joined("or", items)
}

/** Known true on these findings. */
export function holds(formula: Formula, findings: Findings): boolean {
  if (formula.kind === "in") {
    const cell = findings[formula.reading]
    return cell !== undefined && cell !== -1 && formula.cells[cell] === true
  }
  return formula.kind === "and"
    ? formula.items.every((item) => holds(item, findings))
    : formula.items.some((item) => holds(item, findings))
}

/**
 * What is left of a formula when the readings that `known` refuses are never read: the formula itself where that is all
 * of it, `NEVER` where nothing is.
 */
export function restricted(formula: Formula, known: (reading: ReadingIndex) => boolean): Formula {
  if (formula.kind === "in") return known(formula.reading) ? formula : NEVER
  const items: Formula[] = []
  for (const item of formula.items) {
    const part = restricted(item, known)
    if (part === NEVER) {
      if (formula.kind === "and") return NEVER
    } else items.push(part)
  }
  if (formula.kind === "or" && items.length === 0) return NEVER
  if (items.length === formula.items.length && items.every((item, i) => item === formula.items[i])) {
    return formula
  }
  return joined(formula.kind, items)
}

/** Whether a formula can be known true when the readings that `known` refuses are never read. */
export function answerable(formula: Formula, known: (reading: ReadingIndex) => boolean): boolean {
  if (formula.kind === "in") return known(formula.reading)
  return formula.kind === "and"
    ? formula.items.every((item) => answerable(item, known))
    : formula.items.some((item) => answerable(item, known))
}

/** The readings that a formula speaks of, in increasing order. */
export function readingsOf(...formulas: readonly Formula[]): ReadingIndex[] {
  const found = new Set<ReadingIndex>()
  const visit = (formula: Formula): void => {
    if (formula.kind === "in") found.add(formula.reading)
    else for (const item of formula.items) visit(item)
  }
  for (const formula of formulas) visit(formula)
  return [...found].sort((a, b) => a - b)
}

/** The readings without which a formula is never known true. */
export function needed(formula: Formula): ReadingIndex[] {
  if (formula.kind === "in") return [formula.reading]
  const [first = [], ...others] = formula.items.map(needed)
  if (formula.kind === "and") return [...new Set([...first, ...others.flat()])]
  return first.filter((reading) => others.every((list) => list.includes(reading)))
}

/** The same text for the same formula, whatever the spans: the key under which proofs are kept. */
export function spelled(formula: Formula, name: (reading: ReadingIndex) => string): string {
  if (formula.kind === "in") {
    return `${name(formula.reading)}:${formula.cells.length}:${flaggedRuns(formula.cells).join(" ")}`
  }
  const items = formula.items.map((item) => spelled(item, name))
  return `(${items.join(formula.kind === "and" ? "&" : "|")})`
}
