import type { CellSet } from "../../model/model.ts"
import type { FaultIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import type { EliminationIndex } from "../eliminations.ts"
import { type Findings, type Formula, holds, readingsOf } from "../logic/formula.ts"
import { fewestFindings } from "../logic/witnesses.ts"
import { ruleName } from "../message-parts.ts"

export interface OpposedPair {
  /** The rule that `leaves only` faults, and the one that rules these out. */
  readonly leaves: RuleIndex
  readonly against: RuleIndex
  /** The faults at issue. */
  readonly kept: readonly FaultIndex[]
  /** The fewest findings with which both act. Costs more than to know that there are some. */
  explain(): { readonly findings: Findings; readonly smallest: boolean }
}

/** Pairs of rules that together leave no state, one of them by `leaves only`, and that can act together. */
export function opposedPairs(context: Context): OpposedPair[] {
  if (!context.possible) return []
  const { model, space, proofs, eliminations } = context
  const boxes = model.rules.map((_, rule) => box(at(eliminations, rule).formula))
  const found: OpposedPair[] = []
  for (const [leaves, rule] of model.rules.entries()) {
    if (rule.verb !== "leaves only" || rule.chance < 1 || context.unreachable[leaves]) continue
    const kept = keptBy(context, leaves)
    for (const against of rivals(context, kept)) {
      const other = at(model.rules, against)
      // A fault of the one and a fault of the other together satisfy both.
      if (context.kinds.pairs && other.verb === "leaves only") continue
      // Two rules that both leave only something meet twice: once is enough.
      if (
        against === leaves ||
        (other.verb === "leaves only" &&
          against < leaves &&
          rivals(context, keptBy(context, against)).includes(leaves))
      )
        continue
      if (context.unreachable[against] || !kept.every((fault) => context.takes(against, fault))) continue
      if (apart(at(boxes, leaves), at(boxes, against))) continue
      const formulas = [at(eliminations, leaves).formula, at(eliminations, against).formula]
      const readings = readingsOf(...formulas)
      const key = context.keys.of(...formulas)
      const nodes = formulas.map((formula) => space.holds(formula))
      const what = `${ruleName(rule)} and ${ruleName(other)} can act together`
      const meet = context.attempt({ code: "opposed-rules", span: rule.span, what }, false, () =>
        proofs.prove(`opposed ${key}`, () => space.ask(nodes, readings) === "yes"),
      )
      if (!meet) continue
      found.push({ leaves, against, kept, explain: () => witness(context, formulas, key) })
    }
  }
  return found
}

function witness({ model, space, proofs, effort }: Context, formulas: readonly Formula[], key: string) {
  const readings = readingsOf(...formulas)
  const nodes = formulas.map((formula) => space.holds(formula))
  const ask = (further: readonly number[], budget?: number) =>
    space.ask([...nodes, ...further], readings, budget)
  const settles = (findings: Findings) => formulas.every((formula) => holds(formula, findings))
  // Kept by place in the list of readings, since an edit may shift their indexes.
  const proof = proofs.prove(`why opposed ${key}`, () => {
    const witness = fewestFindings(space, ask, readings, settles, effort)
    if (witness === undefined)
      throw new Error("two rules that can act together have findings on which they do")
    const { findings, smallest } = witness
    return { cells: readings.map((reading) => at(findings, reading)), smallest }
  })
  const findings = model.readings.map((_, reading) => proof.cells[readings.indexOf(reading)] ?? -1)
  return { findings, smallest: proof.smallest }
}

function keptBy(context: Context, rule: RuleIndex): FaultIndex[] {
  return [...context.model.faults.keys()].filter((fault) => !context.takes(rule, fault))
}

/** Rules that rule out at least one of the faults: those of the fault that the fewest speak against. */
function rivals({ eliminations, against }: Context, kept: readonly FaultIndex[]): readonly RuleIndex[] {
  let best: readonly EliminationIndex[] | undefined
  for (const fault of kept)
    if (best === undefined || at(against, fault).length < best.length) best = at(against, fault)
  return (best ?? []).flatMap((index) => at(eliminations, index).rule ?? [])
}

/** The cells that a formula which is a plain `and` of comparisons needs, by reading: clashes show without a solver. */
function box(formula: Formula): ReadonlyMap<ReadingIndex, CellSet> {
  const cells = new Map<ReadingIndex, CellSet>()
  for (const item of formula.kind === "and" ? formula.items : [formula]) {
    if (item.kind !== "in") continue
    const before = cells.get(item.reading)
    cells.set(
      item.reading,
      before === undefined ? item.cells : item.cells.map((flag, i) => flag && at(before, i)),
    )
  }
  return cells
}

function apart(a: ReadonlyMap<ReadingIndex, CellSet>, b: ReadonlyMap<ReadingIndex, CellSet>): boolean {
  for (const [reading, cells] of a) {
    const other = b.get(reading)
    if (other !== undefined && !cells.some((flag, i) => flag && other[i])) return true
  }
  return false
}
