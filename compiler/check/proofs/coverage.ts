import type { CellIndex, FaultIndex, ReadingIndex, RuleIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { flaggedRuns } from "../../wording/ranges.ts"
import type { Context } from "../context.ts"
import type { EliminationIndex } from "../eliminations.ts"
import { answerable } from "../logic/formula.ts"
import { RunCounts } from "../logic/run-counts.ts"

/** Counts of cells, by fault. */
type Counts = Map<FaultIndex, RunCounts>

/**
 * What the eliminations that speak of one reading alone rule out, counted by fault and cell. That settles most rules of
 * a large table without asking the solver, which would be told of each rule beside each other one.
 */
export class Coverage {
  readonly #context: Context
  /** By reading: certain eliminations of any kind, and of them the rules that `rule out`. */
  readonly #all: Table<ReadingIndex, Counts>
  readonly #struck: Table<ReadingIndex, Counts>
  /** By reading: some elimination can act on it alone though it speaks of others too. */
  readonly #mixed: Table<ReadingIndex, boolean>

  constructor(context: Context) {
    const { model, eliminations, eliminationsOn } = context
    this.#context = context
    this.#all = model.readings.map(() => new Map())
    this.#struck = model.readings.map(() => new Map())
    this.#mixed = eliminationsOn.map((list, reading) =>
      list.some((i) => {
        const { certain, formula } = at(eliminations, i)
        return certain && formula.kind !== "in" && answerable(formula, (other) => other === reading)
      }),
    )
    for (const index of eliminations.keys()) this.#count(index, 1)
  }

  /** Leaves a rule out of the counts. */
  drop(rule: RuleIndex): void {
    this.#count(rule, -1)
  }

  /** Do the others do all that the rule does? Undefined where counting doesn't tell. */
  covers(rule: RuleIndex): boolean | undefined {
    const { model, eliminations, kinds, space } = this.#context
    const { formula, out, certain } = at(eliminations, rule)
    if (formula.kind !== "in" || at(model.rules, rule).verb !== "rule out" || out.length === 0)
      return undefined
    const { reading, cells } = formula
    const own = certain ? 1 : 0
    // A rule that rules a fault out alone does so beside any other fault too.
    const runs = flaggedRuns(cells)
    const covered = (counts: Counts, fault: FaultIndex, first: number, last: number) =>
      (counts.get(fault)?.leastIn(first, last) ?? 0) > own
    const [struck, all] = [at(this.#struck, reading), at(this.#all, reading)]
    if (out.every((fault) => runs.every(([first, last]) => covered(struck, fault, first, last)))) return true
    if (!kinds.singles || this.#mixed[reading]) return undefined
    const open = runs.filter(([first, last]) => out.some((fault) => !covered(all, fault, first, last)))
    if (space.isFree(reading)) return open.length > 0 ? false : undefined
    const isOpen = (cell: CellIndex) => out.some((fault) => !covered(all, fault, cell, cell))
    const acts = [...cells.keys()].filter((cell) =>
      open.some(([first, last]) => first <= cell && cell <= last),
    )
    return acts.some((cell) => isOpen(cell) && this.#occurs(reading, cell)) ? false : undefined
  }

  #occurs(reading: ReadingIndex, cell: CellIndex): boolean {
    const { model, space, keys, proofs } = this.#context
    const cells = at(model.readings, reading).cells.map((_, i) => i === cell)
    const findings = model.readings.map((_, i) => (i === reading ? cell : (-1 as const)))
    return proofs.prove(`occurs ${keys.of({ kind: "in", reading, cells })}`, () =>
      space.occurs(findings, [reading]),
    )
  }

  #count(index: EliminationIndex, step: 1 | -1): void {
    const { model, eliminations } = this.#context
    const { formula, out, certain, rule } = at(eliminations, index)
    if (formula.kind !== "in" || !certain) return
    const { reading, cells } = formula
    const isRule = rule !== undefined && at(model.rules, rule).verb === "rule out"
    const runs = flaggedRuns(cells)
    for (const counts of isRule
      ? [at(this.#all, reading), at(this.#struck, reading)]
      : [at(this.#all, reading)]) {
      for (const fault of out) {
        const row = counts.get(fault) ?? new RunCounts(cells.length)
        counts.set(fault, row)
        for (const [first, last] of runs) row.add(first, last, step)
      }
    }
  }
}
