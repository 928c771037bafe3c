import type { Context } from "../context.ts"
import { ruledOut } from "../eliminations.ts"
import { type Findings, holds, readingsOf } from "../logic/formula.ts"
import { conjunctions } from "../logic/shared-conjunctions.ts"
import type { SmallestSet } from "../logic/smallest-set.ts"
import { FindingSpace } from "../logic/space.ts"
import { partFalse, smallestConflict } from "../logic/witnesses.ts"

export interface DeadFault {
  readonly fault: number
  /** The fewest eliminations, by index, that leave it no findings. Costs more than to know that there are some. */
  explain(): { readonly by: readonly number[]; readonly smallest: boolean }
}

/**
 * Faults that no complete findings leave. One machine on which a fault stays is enough to clear it and mostly clears
 * many at once, so the machines of the last run are tried first, and the rest is asked for together.
 */
export function deadFaults(context: Context): readonly DeadFault[] {
  if (!context.possible) return []
  const { model, proofs, against } = context
  const left = new Set([...model.faults.keys()].filter((fault) => against[fault]!.length > 0))
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
  const dead: DeadFault[] = []
  for (const fault of left) {
    const key = keys.get(fault)!
    proofs.prove(`dead ${key}`, () => true)
    const explain = () => {
      const proof = proofs.prove(`why dead ${key}`, () => fewestRules(context, fault))
      return { by: proof.elements.map((i) => against[fault]![i]!), smallest: proof.smallest }
    }
    dead.push({ fault, explain })
  }
  proofs.keep("machines", useful)
  return dead
}

/**
 * Clears those of the faults that some machine leaves. Each question is whether a machine leaves any of those still open,
 * and as many as can be; so the last one finds all others dead at once.
 */
function clearAll(
  context: Context,
  faults: readonly number[],
  left: ReadonlySet<number>,
  clear: (machine: Findings) => void,
): void {
  const { space, against, eliminations } = context
  if (faults.length === 0) return
  const usual = anyMachine(context)
  clear(usual)
  const open = faults.filter((fault) => left.has(fault))
  // The rules that take the most faults first: these are in nearly all lists.
  const order = [...new Set(open.flatMap((fault) => against[fault]!))].sort(
    (a, b) => eliminations[b]!.out.length - eliminations[a]!.out.length || a - b,
  )
  const fails = order.map((i) => space.failsActually(eliminations[i]!.formula))
  const places: number[][] = against.map(() => [])
  for (const [place, i] of order.entries())
    for (const fault of eliminations[i]!.out) places[fault]!.push(place)
  const stays = conjunctions(
    space,
    fails,
    open.map((fault) => places[fault]!),
  )
  const readings = readingsOf(...order.map((i) => eliminations[i]!.formula))
  for (;;) {
    const nodes = stays.filter((_, i) => left.has(open[i]!))
    if (nodes.length === 0) return
    if (space.askMost([space.some(nodes)], nodes, readings) === "no") return
    const machine = space.machine(readings)
    clear(usual.map((cell, reading) => (machine[reading]! < 0 ? cell : machine[reading]!)))
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
    machine.every((cell, reading) => cell >= 0 && cell < model.readings[reading]!.cells.length) &&
    !space.nevers.some((never) => holds(never, machine))
  )
}

function keyOf({ keys, against, eliminations }: Context, fault: number): string {
  return keys.of(...against[fault]!.map((i) => eliminations[i]!.formula))
}

/** By place in the fault's list of eliminations. */
function fewestRules({ model, against, eliminations, effort }: Context, fault: number): SmallestSet {
  const formulas = against[fault]!.map((i) => eliminations[i]!.formula)
  const space = new FindingSpace(model)
  const parts = formulas.map((formula) => partFalse(space, formula))
  return smallestConflict(space, parts, effort)!
}
