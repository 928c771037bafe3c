import type { Context } from "./context.ts"
import { ruledOut } from "./eliminations.ts"
import { type Findings, holds, readingsOf } from "./logic/formula.ts"
import { Space } from "./logic/space.ts"
import { partFalse, smallestConflict } from "./logic/witness.ts"

export interface DeadFault {
  readonly fault: number
  /** Eliminations, by index, that leave it no findings. */
  readonly by: readonly number[]
  readonly smallest: boolean
}

interface Death {
  /** Places in the fault's list of eliminations. */
  readonly places: readonly number[]
  readonly smallest: boolean
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
    const found = memory.proof(keyOf(context, fault), () => question(context, fault, usual, clear))
    if (found !== undefined)
      dead.push({ fault, by: found.places.map((i) => against[fault]![i]!), smallest: found.smallest })
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
  return `dead ${formulas.map((formula) => context.content(formula)).join(" ")} ${context.bound(readingsOf(...formulas))}`
}

function question(
  context: Context,
  fault: number,
  usual: Findings,
  clear: (machine: Findings) => void,
): Death | undefined {
  const { model, space } = context
  const formulas = context.against[fault]!.map((i) => context.eliminations[i]!.formula)
  const readings = readingsOf(...formulas)
  const nodes = formulas.map((formula) => space.failsActually(formula))
  if (space.askActual(nodes, readings) === "yes") {
    const machine = space.machine(readings)
    clear(usual.map((cell, reading) => (machine[reading]! < 0 ? cell : machine[reading]!)))
    return undefined
  }
  const fresh = new Space(model)
  const parts = formulas.map((formula) => partFalse(fresh, formula))
  const found = smallestConflict(fresh, parts, readings, context.effort)!
  return { places: found.elements, smallest: found.smallest }
}
