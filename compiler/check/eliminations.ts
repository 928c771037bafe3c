import type { Span } from "../diagnostics/diagnostic.ts"
import type { CellSet, Model, Reading, Rule } from "../model/model.ts"
import { type FaultIndex, type Index, type RuleIndex, type Table, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { type Findings, type Formula, holds, normal } from "./logic/formula.ts"

/** The rules come first in the list of eliminations, so that the index of a rule is that of its elimination too. */
export type EliminationIndex = Index<"rules" | "distributions">

/**
 * One way to rule faults out: a rule, or a distribution that gives some cells no chance. The latter holds for the
 * machine as it came in, while its fault is active; a rule holds whatever has been done since.
 */
export interface Elimination {
  readonly formula: Formula
  /** The faults that it rules out where they are alone in the machine. */
  readonly out: readonly FaultIndex[]
  /** Index of the rule; absent for a distribution. */
  readonly rule?: RuleIndex
  /** For a distribution: whether a `shows` of one fault or the `normally` of the reading says so. */
  readonly from?: "shows" | "normally"
  /** False for a rule trusted below 100 %: it makes faults less likely, but rules none out. */
  readonly certain: boolean
  readonly span: Span
}

/** All eliminations: the rules in order, then the distributions. */
export function eliminationsOf(model: Model): Table<EliminationIndex, Elimination> {
  const all: Elimination[] = model.rules.map((rule, index) => ({
    formula: normal(rule.condition),
    out: ruledOutAlone(model, rule),
    rule: index,
    certain: rule.chance >= 1,
    span: rule.span,
  }))
  for (const [index, reading] of model.readings.entries()) {
    const none = impossibleCells(reading, reading.healthy)
    if (none !== undefined) {
      const out = model.faults.flatMap((fault, f) => (fault.chances[index] === undefined ? [f] : []))
      const span = reading.normally?.span ?? reading.span
      const formula: Formula = { kind: "in", reading: index, cells: none }
      if (out.length > 0) all.push({ formula, out, from: "normally", certain: true, span })
    }
    for (const [f, fault] of model.faults.entries()) {
      const own = fault.chances[index]
      const cells = own && impossibleCells(reading, own)
      if (cells === undefined) continue
      const span = fault.shows.find((clause) => clause.reading === index)?.span ?? fault.span
      const formula: Formula = { kind: "in", reading: index, cells }
      all.push({ formula, out: [f], from: "shows", certain: true, span })
    }
  }
  return tableOf(all)
}

/** The faults that a rule acts on where they are alone: those that it names, or all others for `leaves only`. */
export function ruledOutAlone(model: Model, { verb, of }: Rule): readonly FaultIndex[] {
  if (verb === "rule out") return of
  const kept = new Set(of)
  return [...model.faults.keys()].filter((fault) => !kept.has(fault))
}

/** Cells that have no chance; undefined if there are none. An answer that is not fully trusted can be anything. */
function impossibleCells({ trust, cells }: Reading, chances: Float64Array): CellSet | undefined {
  if (trust < 1 || !chances.includes(0)) return undefined
  return cells.map((_, cell) => chances[cell] === 0)
}

/** By fault: the eliminations that surely rule it out where it is alone, by index, in order. */
export function byFault(
  model: Model,
  eliminations: Table<EliminationIndex, Elimination>,
): Table<FaultIndex, readonly EliminationIndex[]> {
  const lists = model.faults.map((): EliminationIndex[] => [])
  for (const [index, { out, certain }] of eliminations.entries())
    if (certain) for (const fault of out) at(lists, fault).push(index)
  return lists
}

/** By fault: whether these findings rule it out where it is alone. */
export function ruledOut(model: Model, eliminations: readonly Elimination[], findings: Findings): boolean[] {
  const out = model.faults.map(() => false)
  for (const { certain, formula, out: faults } of eliminations) {
    if (certain && holds(formula, findings)) for (const fault of faults) out[fault] = true
  }
  return out
}
