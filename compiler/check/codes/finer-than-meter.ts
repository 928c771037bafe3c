import { type Diagnostic, diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Condition, Grid, Model, Threshold } from "../../model/model.ts"
import { gatesOf } from "../../model/repairs.ts"
import { at } from "../../run/lookup.ts"
import { withUnit } from "../../wording/figures.ts"
import { gridValue } from "../../wording/ranges.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"

export const finerThanMeter: Check = {
  code: "finer-than-meter",
  severity: "warning",
  summary: "A condition that no value on the meter can meet, or two limits that the meter cannot tell apart.",
  explain: `A reading \`by 0.1\` is read in steps of a tenth. A condition that fits between two steps is never met, and two limits
between the same two steps are one limit. Use limits that the meter can show, or give the reading a finer \`by\` if the
meter is that fine.`,
  example: `when rail below 21.43 V     rule out motor_worn
when rail at least 21.47 V  rule out plug_loose`,
  fixed: `when rail below 21.4 V     rule out motor_worn
when rail at least 21.4 V  rule out plug_loose`,
  *run({ model }) {
    for (const { condition } of [...model.rules, ...model.nevers]) yield* unmet(model, condition)
    for (const { onlyIf } of gatesOf(model)) if (onlyIf !== undefined) yield* unmet(model, onlyIf)
    for (const { name, grid } of model.readings) if (grid !== undefined) yield* alike(name, grid)
  },
}

function* unmet(model: Model, condition: Condition): Iterable<Diagnostic> {
  if (condition.kind === "not") yield* unmet(model, condition.item)
  else if (condition.kind !== "in") for (const item of condition.items) yield* unmet(model, item)
  else {
    const { grid, name, span } = at(model.readings, condition.reading)
    if (grid === undefined || condition.cells.includes(true)) return
    const inside = (grid.thresholds ?? []).filter((limit) => within(limit, condition.span))
    const around = inside.length > 0 ? ` The nearest values are ${neighbours(grid, at(inside, 0))}.` : ""
    yield diagnostic(
      "warning",
      "finer-than-meter",
      condition.span,
      `No value that the meter can show meets this condition on ${backticked(name)}.`,
      {
        labels: [{ span, text: `read in steps of ${withUnit(grid.by, grid.unit)}` }],
        help: `Use limits that ${backticked(name)} can show, or give it a finer \`by\`.${around}`,
      },
    )
  }
}

function within(limit: Threshold, span: Condition["span"]): boolean {
  return limit.span.file === span.file && limit.span.start >= span.start && limit.span.end <= span.end
}

/** Limits that differ, by less than a step, and part the grid at the same place; each pair of neighbours once. */
function* alike(name: string, grid: Grid): Iterable<Diagnostic> {
  const { thresholds = [] } = grid
  const byValue = new Map<number, Threshold>()
  for (const limit of thresholds) if (!byValue.has(limit.at)) byValue.set(limit.at, limit)
  const limits = [...byValue.values()].sort((a, b) => a.at - b.at)
  for (const [i, second] of limits.entries()) {
    const first = limits[i - 1]
    // Neighbours on the grid are a whole step apart, and two limits may well part the grid between them from both sides.
    if (first === undefined || second.at - first.at > grid.by * (1 - 1e-6)) continue
    if (
      thresholds.every(
        (a) => a.at !== first.at || thresholds.every((b) => b.at !== second.at || a.cut !== b.cut),
      )
    )
      continue
    const [early, late] = first.span.start < second.span.start ? [first, second] : [second, first]
    yield diagnostic(
      "warning",
      "finer-than-meter",
      late.span,
      `${backticked(name)} cannot tell the limits ${shown(first.at)} and ${withUnit(shown(second.at), grid.unit)} apart: it is read in steps of ${withUnit(grid.by, grid.unit)}.`,
      {
        labels: [{ span: early.span, text: "the other limit" }],
        help: `Use one limit that it can show: the nearest values are ${neighbours(grid, second)}.`,
      },
    )
  }
}

function neighbours(grid: Grid, { cut }: Threshold): string {
  const values = [cut - 1, cut].filter((index) => index >= 0 && index < grid.count)
  return withUnit(listed(values.map((index) => `${gridValue(grid, index)}`)), grid.unit)
}

function shown(value: number): string {
  return String(Number(value.toPrecision(12)))
}
