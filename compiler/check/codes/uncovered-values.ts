import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { CellSet } from "../../model/model.ts"
import type { ReadingIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { withUnit } from "../../wording/figures.ts"
import { comparison, flaggedRuns, gridValue } from "../../wording/ranges.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import type { Context } from "../context.ts"
import type { Formula } from "../logic/formula.ts"

export const uncoveredValues: Check = {
  code: "uncovered-values",
  severity: "note",
  summary: "A range of a quantity that no rule and no `shows` mentions, between ranges that are mentioned.",
  explain: `The ruleset mentions two ranges of this quantity and says nothing about the range between them: no rule acts on a value
there, and no fault shows it. Often the two limits were meant to meet. If nothing is known about that range, leave it:
this is only a note.`,
  example: `when rail above 26.5 V  rule out gear_held`,
  fixed: `when rail at least 22 V  rule out gear_held`,
  *run(context) {
    const { model } = context
    const mentioned = mentions(context)
    for (const [index, reading] of model.readings.entries()) {
      const cells = at(mentioned, index)
      if (reading.grid === undefined || !cells.includes(true)) continue
      const first = cells.indexOf(true)
      const last = cells.lastIndexOf(true)
      for (const [from, to] of flaggedRuns(cells.map((flag, cell) => !flag && cell > first && cell < last))) {
        const single = from === to ? reading.cells[from] : undefined
        const range =
          single?.first !== undefined && single.weight === 1
            ? `at ${withUnit(gridValue(reading.grid, single.first), reading.grid.unit)}`
            : comparison(
                reading,
                cells.map((_, cell) => cell >= from && cell <= to),
              )
        yield diagnostic(
          "note",
          "uncovered-values",
          reading.span,
          `No rule and no \`shows\` mentions ${backticked(reading.name)} ${range}.`,
          {
            help: "If the limits on both sides were meant to meet, move one of them. Otherwise leave it.",
          },
        )
      }
    }
  },
}

/** By reading and cell: a comparison in a rule (what a `not` makes of it, where there is one) or a `shows` picks it. */
function mentions({ model, eliminations }: Context): Table<ReadingIndex, CellSet> {
  const mentioned = model.readings.map((reading) => reading.cells.map(() => false))
  const note = (reading: ReadingIndex, cells: CellSet): void => {
    for (const [first, last] of flaggedRuns(cells)) at(mentioned, reading).fill(true, first, last + 1)
  }
  const visit = (formula: Formula): void => {
    if (formula.kind === "in") note(formula.reading, formula.cells)
    else for (const item of formula.items) visit(item)
  }
  for (const { formula, rule } of eliminations) if (rule !== undefined) visit(formula)
  for (const fault of model.faults) for (const clause of fault.shows) note(clause.reading, clause.cells)
  return mentioned
}
