import type { Context } from "./context.ts"
import { ruledOut } from "./eliminations.ts"
import type { Fewest } from "./logic/fewest.ts"
import { type Findings, holds, readingsOf } from "./logic/formula.ts"
import { Space } from "./logic/space.ts"
import { partFalse, smallestConflict } from "./logic/witness.ts"

export interface DeadFault {
  readonly fault: number
  /** The fewest eliminations, by index, that leave it no findings. Costs more than to know that there are some. */
  explain(): { readonly by: readonly number[]; readonly smallest: boolean }
}

/**
 * Faults that no complete findings leave. One machine on which a fault stays is enough to clear it and mostly clears
 * many at once, so the machines of the last run are tried first and only what is left needs a question of its own.
 */
export function deadFaults(context: Context): readonly DeadFault[] {
  if (!context.possible) return []
  const { model, memory, against } = context
  const left = new Set([...model.faults.keys()].filter((fault) => against[fault]!.length > 0))
  const useful: Findings[] = []
  const clear = (machine: Findings): void => {
    const before = left.size
    const out = ruledOut(model, context.eliminations, machine)
    for (const fault of [...left]) if (!out[fault]) left.delete(fault)
    if (left.size < before) useful.push(machine)
  }
  for (const machine of memory.hint<readonly Findings[]>("machines") ?? [])
    if (complete(context, machine)) clear(machine)
  const usual = left.size > 0 ? anyMachine(context) : []
  if (left.size > 0) clear(usual)

  const dead: DeadFault[] = []
  for (const fault of [...left]) {
    if (!left.has(fault)) continue
    if (!memory.proof(`dead ${keyOf(context, fault)}`, () => isDead(context, fault, usual, clear))) continue
    const explain = () => {
      const proof = memory.proof(`why dead ${keyOf(context, fault)}`, () => fewestRules(context, fault))
      return { by: proof.elements.map((i) => against[fault]![i]!), smallest: proof.smallest }
    }
    dead.push({ fault, explain })
  }
  memory.keep("machines", useful)
  return dead
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
    machine.every((cell, reading) => cell >= 0 && cell < model.readings[reading]!.cells.length) &&
    !space.nevers.some((never) => holds(never, machine))
  )
}

function keyOf(context: Context, fault: number): string {
  const formulas = context.against[fault]!.map((i) => context.eliminations[i]!.formula)
  return `${formulas.map((formula) => context.content(formula)).join(" ")} ${context.bound(readingsOf(...formulas))}`
}

function isDead(
  context: Context,
  fault: number,
  usual: Findings,
  clear: (machine: Findings) => void,
): boolean {
  const { space } = context
  const formulas = context.against[fault]!.map((i) => context.eliminations[i]!.formula)
  const readings = readingsOf(...formulas)
  if (
    space.askActual(
      formulas.map((formula) => space.failsActually(formula)),
      readings,
    ) === "no"
  )
    return true
  const machine = space.machine(readings)
  clear(usual.map((cell, reading) => (machine[reading]! < 0 ? cell : machine[reading]!)))
  return false
}

/** By place in the fault's list of eliminations. */
function fewestRules({ model, against, eliminations, effort }: Context, fault: number): Fewest {
  const formulas = against[fault]!.map((i) => eliminations[i]!.formula)
  const space = new Space(model)
  const parts = formulas.map((formula) => partFalse(space, formula))
  return smallestConflict(space, parts, readingsOf(...formulas), effort)!
}
