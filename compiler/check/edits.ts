import type { Edit, Span } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import { backticked } from "../wording/sentence.ts"
import { conditionSource } from "./condition-text.ts"
import { type Findings, type Formula, holds } from "./logic/formula.ts"

/**
 * The edit that says such findings cannot occur. Each finding is widened to the cells around it on which `still` says
 * that all stays as it is, so that the new `never` covers the hole and not just one value in it.
 */
export function neverEdit(
  model: Model,
  findings: Findings,
  still: (findings: Findings) => boolean,
  after: Span,
): Edit {
  const items: Formula[] = []
  for (const [reading, cell] of findings.entries()) {
    if (cell < 0) continue
    const fits = (other: number): boolean => other === cell || still(findings.with(reading, other))
    const { cells, grid } = model.readings[reading]!
    let first = cell
    let last = cell
    // The cells of a choice have no order to widen along.
    if (grid !== undefined) {
      while (first > 0 && fits(first - 1)) first--
      while (last + 1 < cells.length && fits(last + 1)) last++
    }
    items.push({ kind: "in", reading, cells: cells.map((_, i) => i >= first && i <= last) })
  }
  const text = `never ${conditionSource(model, { kind: "and", items })}`
  const end = { file: after.file, start: after.end, end: after.end }
  return {
    title: `say that this cannot occur: \`${text}\``,
    safe: false,
    changes: [{ span: end, text: `\n${text}` }],
  }
}

/** The edit by which a rule spares a fault. */
export function exceptEdit(model: Model, rule: number, fault: number): Edit | undefined {
  const { faults } = model.rules[rule]!
  if (faults === undefined) return undefined
  const { name } = model.faults[fault]!
  const end = { file: faults.span.file, start: faults.span.end, end: faults.span.end }
  const text = faults.except ? `, ${name}` : ` except ${name}`
  return { title: `let the rule spare ${backticked(name)}`, safe: false, changes: [{ span: end, text }] }
}

/** All these formulas stay known true. */
export function allHold(formulas: readonly Formula[]): (findings: Findings) => boolean {
  return (findings) => formulas.every((formula) => holds(formula, findings))
}
