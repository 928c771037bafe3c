import type { FaultIndex, PlaceIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { Fault, Gate, Model, Test, Work } from "./model.ts"

/** Setups that are redone, and the chance that a fault in them is then cured. */
export type Redone = readonly { readonly setup: PlaceIndex; readonly cures: number }[]

/** Work of no time and no money. */
const NOTHING: Work = { minutes: 0, costs: 0, waits: 0 }

/** Money of the work itself at the bench's rate, the waiting not counted. */
export function workCost(model: Model, { minutes, costs }: Work): number {
  return (minutes * model.ruleset.bench) / 60 + costs
}

/** Money for `waits` minutes in which the machine waits. */
export function waitingCost(model: Model, waits: number): number {
  return (waits * model.ruleset.waiting) / 60
}

/**
 * What it takes to fit a bought part, its price not counted: the part's `fit` clause, else the cheapest test that swaps
 * it and nothing else without its risks and look, else nothing (the reference's formulas.md, "Cost").
 */
export function replaceWork(model: Model, part: PlaceIndex): Work {
  const { fit } = at(model.places, part)
  if (fit !== undefined) return fit
  return leastWork(model, (test) => (swapsAlone(test, part) ? 1 : 0)) ?? NOTHING
}

/** Whether a test does what replacing a part does. */
export function swapsAlone({ kind, parts }: Test, part: PlaceIndex): boolean {
  return kind === "swaps" && parts.length === 1 && parts[0] === part
}

/**
 * What it takes to fix a fault: its `fix` clause, else, for a fault in a setup, the test of kind `redoes` that names
 * the setup and costs least for its chance to cure the fault, over that chance. Undefined if there is no such fix.
 */
export function fixWork(model: Model, fault: FaultIndex): Work | undefined {
  return at(model.faults, fault).fix ?? leastWork(model, (test) => fixChance(model, test, fault))
}

/** The chance that a test does what fixing a fault does: that it cures it, where it redoes its setup by name. */
export function fixChance(model: Model, test: Test, fault: FaultIndex): number {
  const { place } = at(model.faults, fault)
  const names = test.kind === "redoes" && test.redoes.some(({ named, setup }) => named && setup === place)
  return names ? cureChance(model, test, fault) : 0
}

/** All that must be done or known before something: of tests, of fitting a part, of fixing a fault. */
export function gatesOf({ tests, places, faults }: Model): Gate[] {
  return [...tests, ...places.flatMap(({ gate }) => gate ?? []), ...faults.flatMap(({ gate }) => gate ?? [])]
}

/** The chance that what a test redoes cures a fault. */
export function cureChance(model: Model, test: Test, fault: FaultIndex): number {
  return redoCures(at(model.faults, fault), test.redoes)
}

/** Setups on the way to a place, which are redone with it. */
export function redoneOnTheWay(model: Model, reach: readonly PlaceIndex[]): Redone {
  return reach.map((setup) => ({ setup, cures: at(model.places, setup).cures }))
}

/** The chance that setups that are redone cure a fault, every setup that could having its own try. */
export function redoCures({ place, eased }: Pick<Fault, "place" | "eased">, redoes: Redone): number {
  let fails = 1
  for (const { setup, cures } of redoes) {
    const chance = setup === place ? cures : (eased.find((each) => each.setup === setup)?.chance ?? 0)
    fails *= 1 - chance
  }
  return 1 - fails
}

/** The work of the test that costs least for the chance with which it does what is to be done, over that chance. */
function leastWork(model: Model, chanceOf: (test: Test) => number): Work | undefined {
  let best: Work | undefined
  let least = Number.POSITIVE_INFINITY
  for (const [index, test] of model.tests.entries()) {
    const chance = chanceOf(test)
    if (chance === 0) continue
    const { minutes, costs, waits } = test
    const work = { minutes: minutes / chance, costs: costs / chance, waits: waits / chance, test: index }
    const cost = workCost(model, work) + waitingCost(model, work.waits)
    if (cost >= least) continue
    best = work
    least = cost
  }
  return best
}
