import type { FaultIndex, ReadingIndex, RuleIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { Context } from "./context.ts"
import type { EliminationIndex } from "./eliminations.ts"
import { type Findings, holds } from "./logic/formula.ts"
import type { MachineState } from "./state-kinds.ts"

/** Eliminations that rule a state out when all of them act. */
export type Exclusion = readonly EliminationIndex[]

/**
 * All ways to rule a state out. A rule does it alone. A finding does it where every fault of the state that speaks of the
 * reading gives it no chance, or where none speaks of it and a healthy machine does not show it. What is not listed can
 * show anything, so only `leaves only` rules it out.
 */
export function exclusionsOf(context: Context, state: MachineState): Exclusion[] {
  const [first, second] = state
  if (first === undefined) return context.once(certainLeaves).map((index) => [index])
  if (second === undefined) return at(context.against, first).map((index) => [index])
  const found: Exclusion[] = []
  const zeros = new Set<ReadingIndex>()
  for (const index of new Set([...at(context.against, first), ...at(context.against, second)])) {
    const { rule, formula } = at(context.eliminations, index)
    if (rule === undefined && formula.kind === "in") zeros.add(formula.reading)
    else if (rule !== undefined && strikes(context, rule, state)) found.push([index])
  }
  for (const reading of zeros) {
    const exclusion = zeroOf(context, state, reading)
    if (exclusion !== undefined) found.push(exclusion)
  }
  return found
}

/** Does this rule act on the state? */
export function strikes(context: Context, rule: RuleIndex, state: MachineState): boolean {
  const takes = (fault: FaultIndex) => context.takes(rule, fault)
  return at(context.model.rules, rule).verb === "rule out" ? state.some(takes) : state.every(takes)
}

/** The distributions that decide whether a finding of this reading leaves two faults no chance. */
function zeroOf(context: Context, state: MachineState, reading: ReadingIndex): Exclusion | undefined {
  const { model, eliminations } = context
  const { healthy, shown } = context.once(distributionsByReading)
  const speaking = state.filter((fault) => at(model.faults, fault).chances[reading] !== undefined)
  if (speaking.length === 0) return healthy[reading] === undefined ? undefined : [healthy[reading]]
  const found = speaking.flatMap((fault) => at(shown, fault).get(reading) ?? [])
  if (found.length < speaking.length) return undefined
  const cells = found.map((index) => at(eliminations, index).formula)
  const size = at(model.readings, reading).cells.length
  const clash = Array.from({ length: size }, (_, cell) =>
    cells.every((each) => each.kind === "in" && each.cells[cell]),
  )
  return clash.includes(true) ? found : undefined
}

/** Eliminations that a distribution makes: by reading that of a healthy machine, by fault those of its own. */
function distributionsByReading({ model, eliminations }: Context) {
  const healthy = model.readings.map((): EliminationIndex | undefined => undefined)
  const shown = model.faults.map(() => new Map<ReadingIndex, EliminationIndex>())
  for (const [index, { rule, from, formula, out }] of eliminations.entries()) {
    if (rule !== undefined || formula.kind !== "in") continue
    if (from === "normally") healthy[formula.reading] = index
    else at(shown, at(out, 0)).set(formula.reading, index)
  }
  return { healthy, shown }
}

/** Does an elimination act on one fault alone, or on something not listed? */
export function rulesOutAlone(context: Context, elimination: EliminationIndex, state: MachineState): boolean {
  const [fault] = state
  if (fault !== undefined) return context.takes(elimination, fault)
  const { rule } = at(context.eliminations, elimination)
  return rule !== undefined && at(context.model.rules, rule).verb === "leaves only"
}

/** Whether an elimination takes part in ruling this state out. */
export function bearsOn(context: Context, elimination: EliminationIndex, state: MachineState): boolean {
  const { rule, out } = at(context.eliminations, elimination)
  if (state.length === 0) return rulesOutAlone(context, elimination, state)
  return rule === undefined ? state.some((fault) => out.includes(fault)) : strikes(context, rule, state)
}

/** Rules that surely rule out what is not listed. */
export function certainLeaves({ model }: Context): RuleIndex[] {
  return model.rules.flatMap(({ verb, chance }, i) => (verb === "leaves only" && chance >= 1 ? [i] : []))
}

/** By elimination: whether it surely acts on these findings. */
export function actingOn({ eliminations }: Context, findings: Findings): Table<EliminationIndex, boolean> {
  return eliminations.map(({ formula, certain }) => certain && holds(formula, findings))
}

/** Whether none of the exclusions has all its eliminations acting. */
export function survives(
  exclusions: readonly Exclusion[],
  acting: Table<EliminationIndex, boolean>,
): boolean {
  return !exclusions.some((exclusion) => exclusion.every((index) => acting[index]))
}

/**
 * Two faults that survive together, each of the first in turn with the first that goes with it: at most `most` pairs, so
 * that one look at findings says much about them.
 */
export function survivingPairs(
  context: Context,
  acting: Table<EliminationIndex, boolean>,
  most: number,
): MachineState[] {
  const { model, eliminations } = context
  const struck = model.faults.map(() => false)
  for (const [index, { rule, out }] of eliminations.entries()) {
    if (!acting[index] || rule === undefined || at(model.rules, rule).verb !== "rule out") continue
    for (const fault of out) struck[fault] = true
  }
  const left = [...model.faults.keys()].filter((fault) => !struck[fault])
  const found: MachineState[] = []
  for (const [i, first] of left.entries()) {
    const second = left.slice(i + 1).find((other) => survives(exclusionsOf(context, [first, other]), acting))
    if (second !== undefined) found.push([first, second])
    if (found.length >= most) break
  }
  return found
}
