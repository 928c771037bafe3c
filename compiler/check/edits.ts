import type { Edit, Span } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import {
  type CellIndex,
  type FaultIndex,
  type ReadingIndex,
  type RuleIndex,
  tableOf,
} from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { backticked } from "../wording/sentence.ts"
import { conditionSource } from "./condition-text.ts"
import { type Findings, type Formula, holds } from "./logic/formula.ts"

/** Combinations of cells that widening may look at; a range that would need more stays narrow. */
const MOST_COMBINATIONS = 2000

/**
 * Findings as conditions over whole ranges: each is widened to the cells around it as long as `still` says for all
 * combinations that they are as the findings were, so that they cover a hole and not just one value in it.
 */
export function widened(model: Model, findings: Findings, still: (findings: Findings) => boolean): Formula[] {
  const ranges = findings.map((cell) => [cell, cell] as [first: number, last: number])
  const fits = (reading: ReadingIndex, cell: number): boolean => {
    const others = ranges.map((range, i): [number, number] => (i === reading ? [cell, cell] : range))
    const count = others.reduce((product, [first, last]) => product * (last - first + 1), 1)
    return count <= MOST_COMBINATIONS && combinations(others).every(still)
  }
  for (const [reading, cell] of findings.entries()) {
    const { cells, grid } = at(model.readings, reading)
    const range = at(ranges, reading)
    // The cells of a choice have no order to widen along.
    if (cell < 0 || grid === undefined) continue
    while (range[0] > 0 && fits(reading, range[0] - 1)) range[0]--
    while (range[1] + 1 < cells.length && fits(reading, range[1] + 1)) range[1]++
  }
  return model.readings.flatMap((read, reading): Formula[] => {
    const range = ranges[reading]
    if (range === undefined || range[0] < 0) return []
    const [first, last] = range
    const cells = read.cells.map((_, i) => i >= first && i <= last)
    return [{ kind: "in", reading, cells }]
  })
}

function combinations(ranges: readonly (readonly [number, number])[]): Findings[] {
  let all: number[][] = [[]]
  for (const [first, last] of ranges) {
    const cells = Array.from({ length: last - first + 1 }, (_, i) => first + i)
    all = all.flatMap((before) => cells.map((cell) => [...before, cell]))
  }
  return all.map((cells) => tableOf(cells as (CellIndex | -1)[]))
}

/** The edit that says such findings cannot occur; they are widened as far as `still` allows. */
export function neverEdit(
  model: Model,
  findings: Findings,
  still: (findings: Findings) => boolean,
  after: Span,
): Edit {
  const items = widened(model, findings, still)
  const text = `never ${conditionSource(model, { kind: "and", items })}`
  const end = { file: after.file, start: after.end, end: after.end }
  return {
    title: `say that this cannot occur: \`${text}\``,
    safe: false,
    changes: [{ span: end, text: `\n${text}` }],
  }
}

/** The edit by which a rule spares a fault; undefined if it names no other beside it. */
export function exceptEdit(model: Model, rule: RuleIndex, fault: FaultIndex): Edit | undefined {
  const { faults } = at(model.rules, rule)
  // An `except` must leave something of what it follows.
  if (faults?.items.some(({ of }) => of.length < 2 && of.includes(fault)) !== false) return undefined
  const { name } = at(model.faults, fault)
  const changes = faults.items
    .filter(({ of }) => of.includes(fault))
    .map(({ span, except }) => ({
      span: { file: span.file, start: span.end, end: span.end },
      text: except ? `, ${name}` : ` except ${name}`,
    }))
  return { title: `let the rule spare ${backticked(name)}`, safe: false, changes }
}

/** The edit that trusts a rule less, in percent. A rule with a percentage has one already that can be changed by hand. */
export function percentEdit(model: Model, rule: RuleIndex, percent: number): Edit | undefined {
  const { faults, chance } = at(model.rules, rule)
  if (faults === undefined || chance < 1) return undefined
  const end = { file: faults.span.file, start: faults.span.end, end: faults.span.end }
  const title = `trust the rule to ${percent} %`
  return { title, safe: false, changes: [{ span: end, text: ` ${percent}%` }] }
}

/** All these formulas stay known true. */
export function allHold(formulas: readonly Formula[]): (findings: Findings) => boolean {
  return (findings) => formulas.every((formula) => holds(formula, findings))
}
