import type { Span } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import { type Findings, type Formula, holds, normal } from "./logic/formula.ts"

/**
 * One way to rule faults out: a rule, or a distribution that leaves some cells no chance. The latter holds for the
 * machine as it came in, while its fault is active; a rule holds whatever has been done since.
 */
export interface Elimination {
  readonly formula: Formula
  readonly out: readonly number[]
  /** Index of the rule; absent for a distribution. */
  readonly rule?: number
  /** For a distribution: whether a `shows` of one fault or the `normally` of the reading says so. */
  readonly from?: "shows" | "normally"
  readonly span: Span
}

/** All eliminations: the rules first, in order, so that the index of a rule is the index of its elimination. */
export function eliminationsOf(model: Model): Elimination[] {
  const all: Elimination[] = model.rules.map((rule, index) => ({
    formula: normal(rule.condition),
    out: rule.out,
    rule: index,
    span: rule.span,
  }))
  for (const [index, reading] of model.readings.entries()) {
    const none = zeros(reading.healthy)
    if (none !== undefined) {
      const out = model.faults.flatMap((fault, f) => (fault.chances[index] === undefined ? [f] : []))
      if (out.length > 0) {
        const span = reading.normally?.span ?? reading.span
        all.push({ formula: { kind: "in", reading: index, cells: none }, out, from: "normally", span })
      }
    }
    for (const [f, fault] of model.faults.entries()) {
      const own = fault.chances[index]
      const cells = own && zeros(own)
      if (cells === undefined) continue
      const span = fault.shows.find((clause) => clause.reading === index)?.span ?? fault.span
      all.push({ formula: { kind: "in", reading: index, cells }, out: [f], from: "shows", span })
    }
  }
  return all
}

function zeros(chances: Float64Array): boolean[] | undefined {
  return chances.includes(0) ? [...chances].map((chance) => chance === 0) : undefined
}

/** By fault: the eliminations that rule it out, by index, in order. */
export function byFault(model: Model, eliminations: readonly Elimination[]): number[][] {
  const lists: number[][] = model.faults.map(() => [])
  for (const [index, { out }] of eliminations.entries()) for (const fault of out) lists[fault]!.push(index)
  return lists
}

/** By fault: whether these findings rule it out. */
export function ruledOut(model: Model, eliminations: readonly Elimination[], findings: Findings): boolean[] {
  const out = model.faults.map(() => false)
  for (const elimination of eliminations) {
    if (holds(elimination.formula, findings)) for (const fault of elimination.out) out[fault] = true
  }
  return out
}
