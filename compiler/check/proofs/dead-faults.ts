import type { FaultIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import { type EliminationIndex, ruledOut } from "../eliminations.ts"
import { type Findings, holds, readingsOf } from "../logic/formula.ts"
import { conjunctions } from "../logic/shared-conjunctions.ts"
import { type SmallestSet, smallestSet } from "../logic/smallest-set.ts"
import { FindingSpace } from "../logic/space.ts"
import { partFalse, smallestKnownConflict } from "../logic/witnesses.ts"
import { bearsOn } from "../machine-states.ts"
import { StateChoice } from "./state-choice.ts"

export interface DeadFault {
  readonly fault: FaultIndex
  /** The fewest eliminations, by index, that leave it no findings. Costs more than to know that there are some. */
  explain(): { readonly by: readonly EliminationIndex[]; readonly smallest: boolean }
}

/**
 * Faults that no complete findings leave, neither alone nor beside another fault. One machine on which a fault stays is
 * enough to clear it and mostly clears many at once, so the machines of the last run are tried first, and the rest is
 * asked for together.
 */
export function deadFaults(context: Context): readonly DeadFault[] {
  const { model, proofs, against, kinds } = context
  if (!context.possible || !(kinds.singles || kinds.pairs)) return []
  const left = kinds.singles ? deadAlone(context) : [...model.faults.keys()]
  if (kinds.pairs) {
    const alive = aliveBesideOthers(context, left)
    return left
      .filter((fault) => !alive.has(fault))
      .map((fault) => ({ fault, explain: () => fewestOfAll(context, fault) }))
  }
  return left.map((fault) => ({
    fault,
    explain() {
      const proof = proofs.prove(`why dead ${keyOf(context, fault)}`, () => fewestRules(context, fault))
      return { by: proof.elements.map((i) => at(at(against, fault), i)), smallest: proof.smallest }
    },
  }))
}

/** Faults that no complete findings leave where they are alone. */
function deadAlone(context: Context): FaultIndex[] {
  const { model, proofs, against } = context
  const left = new Set([...model.faults.keys()].filter((fault) => at(against, fault).length > 0))
  const useful: Findings[] = []
  const clear = (machine: Findings): void => {
    const before = left.size
    const out = ruledOut(model, context.eliminations, machine)
    for (const fault of [...left]) if (!out[fault]) left.delete(fault)
    if (left.size < before) useful.push(machine)
  }
  for (const machine of proofs.hint<readonly Findings[]>("machines") ?? [])
    if (complete(context, machine)) clear(machine)

  const keys = new Map([...left].map((fault) => [fault, keyOf(context, fault)]))
  const open = [...left].filter((fault) => !proofs.knows(`dead ${keys.get(fault)}`))
  clearAll(context, open, left, clear)
  for (const fault of left) proofs.prove(`dead ${keys.get(fault)}`, () => true)
  proofs.keep("machines", useful)
  return [...left]
}

/** Those of the faults that some machine leaves together with another fault. */
function aliveBesideOthers(context: Context, faults: readonly FaultIndex[]): ReadonlySet<FaultIndex> {
  const { space, eliminations, model } = context
  if (faults.length === 0) return new Set()
  const choice = new StateChoice(context, space)
  const readings = [...model.readings.keys()]
  const survives = choice.survives(eliminations.keys(), "machine")
  const two = choice.of(2)
  return new Set(
    faults.filter((fault) => {
      const nodes = [survives, two, choice.has(fault)]
      return space.askActual(nodes, readings, undefined, choice.variables) === "yes"
    }),
  )
}

/** The fewest eliminations, by index, that leave the fault no machine, alone or beside another. */
function fewestOfAll(context: Context, fault: FaultIndex) {
  const { model, eliminations, effort, kinds } = context
  const space = new FindingSpace(model)
  const choice = new StateChoice(context, space)
  const readings = [...model.readings.keys()]
  const has = choice.has(fault)
  const only = kinds.singles ? [] : [choice.of(2)]
  const certain = [...eliminations.keys()].filter((index) => at(eliminations, index).certain)
  const until = space.solver.conflicts + effort
  const { elements, smallest } = smallestSet(certain, (chosen) => {
    const nodes = [has, ...only, choice.survives(chosen, "machine")]
    const budget = Math.max(1, until - space.solver.conflicts)
    const answer = space.askActual(nodes, readings, budget, choice.variables)
    if (answer !== "yes") return answer === "no" ? "enough" : answer
    const machine = space.machine(readings)
    const state = choice.found
    return certain.filter(
      (index) =>
        !chosen.has(index) &&
        holds(at(eliminations, index).formula, machine) &&
        bearsOn(context, index, state),
    )
  })
  return { by: elements, smallest }
}

/**
 * Clears those of the faults that some machine leaves. Each question is whether a machine leaves any of those still open,
 * and as many as can be; so the last one finds all others dead at once.
 */
function clearAll(
  context: Context,
  faults: readonly FaultIndex[],
  left: ReadonlySet<FaultIndex>,
  clear: (machine: Findings) => void,
): void {
  const { space, against, eliminations } = context
  if (faults.length === 0) return
  const usual = anyMachine(context)
  clear(usual)
  const open = faults.filter((fault) => left.has(fault))
  // The rules that take the most faults first: these are in nearly all lists.
  const order = [...new Set(open.flatMap((fault) => at(against, fault)))].sort(
    (a, b) => at(eliminations, b).out.length - at(eliminations, a).out.length || a - b,
  )
  const fails = order.map((i) => space.failsActually(at(eliminations, i).formula))
  const places = against.map((): number[] => [])
  for (const [place, i] of order.entries())
    for (const fault of at(eliminations, i).out) at(places, fault).push(place)
  const stays = conjunctions(
    space,
    fails,
    open.map((fault) => at(places, fault)),
  )
  const readings = readingsOf(...order.map((i) => at(eliminations, i).formula))
  for (;;) {
    const nodes = stays.filter((_, i) => left.has(at(open, i)))
    if (nodes.length === 0) return
    if (space.askMost([space.some(nodes)], nodes, readings) === "no") return
    const machine = space.machine(readings)
    clear(usual.map((cell, reading) => (at(machine, reading) < 0 ? cell : at(machine, reading))))
  }
}

function anyMachine({ model, space }: Context): Findings {
  const everything = [...model.readings.keys()]
  space.askActual([], everything)
  return space.machine(everything)
}

/** Still a machine of this ruleset, which no `never` forbids. */
function complete({ model, space }: Context, machine: Findings): boolean {
  return (
    machine.length === model.readings.length &&
    machine.every((cell, reading) => cell >= 0 && cell < at(model.readings, reading).cells.length) &&
    !space.nevers.some((never) => holds(never, machine))
  )
}

function keyOf({ keys, against, eliminations }: Context, fault: FaultIndex): string {
  return keys.of(...at(against, fault).map((i) => at(eliminations, i).formula))
}

/** By place in the fault's list of eliminations. */
function fewestRules(
  { model, against, eliminations, effort }: Context,
  fault: FaultIndex,
): SmallestSet<number> {
  const formulas = at(against, fault).map((i) => at(eliminations, i).formula)
  const space = new FindingSpace(model)
  const parts = formulas.map((formula) => partFalse(space, formula))
  return smallestKnownConflict(space, parts, effort)
}
