import type { Model } from "../../model/model.ts"
import { cureChance, fixWork, replaceWork, waitingCost, workCost } from "../../model/repairs.ts"
import type { Action } from "../../plan/plan.ts"
import type { FaultIndex, PlaceIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import { actionCures } from "../remedies.ts"
import { isRepairable } from "./blind-tests.ts"
import { doableTests, type Repair } from "./doable-tests.ts"

/**
 * Faults that no action can cure: in a setup that no test and no `fix` redoes, that nothing redoes on the way to another
 * place, and that no other setup eases.
 */
export function unrepairedFaults(context: Context): FaultIndex[] {
  const { model } = context
  const doable = context.once(doableTests)
  const onTheWay = redoneOnTheWay(model)
  return [...model.faults.keys()].filter((fault) => {
    if (isRepairable(model, fault)) return false
    const { place, eased } = at(model.faults, fault)
    if (onTheWay.has(place) && at(model.places, place).cures > 0) return false
    if (eased.some(({ setup, chance }) => chance > 0 && onTheWay.has(setup))) return false
    return !model.tests.some((test, i) => doable.tests[i] && cureChance(model, test, fault) > 0)
  })
}

/** Setups that some repair redoes: replacing a part, or fixing a fault. */
function redoneOnTheWay(model: Model): ReadonlySet<PlaceIndex> {
  const redone = new Set<PlaceIndex>()
  for (const { kind, reach } of model.places)
    if (kind === "part") for (const setup of reach) redone.add(setup)
  for (const [fault, { place }] of model.faults.entries()) {
    if (fixWork(model, fault) === undefined) continue
    for (const setup of at(model.places, place).reach) redone.add(setup)
  }
  return redone
}

/** Repairs that cost nothing: parts with a fault and without a price, fixes that take neither time nor money. */
export function freeRepairs(model: Model): Repair[] {
  const blamed = new Set(model.faults.map(({ place }) => place))
  const parts = model.places.flatMap(({ kind, price }, part): Repair[] =>
    kind === "part" && price === 0 && blamed.has(part) ? [{ kind: "replace", part }] : [],
  )
  const fixes = [...model.faults.keys()].flatMap((fault): Repair[] => {
    const work = fixWork(model, fault)
    if (work === undefined) return []
    return workCost(model, work) + waitingCost(model, work.waits) > 0 ? [] : [{ kind: "fix", fault }]
  })
  return [...parts, ...fixes]
}

/**
 * Faults whose repair costs as much as handing over, or more, even for somebody who knows that the machine has just this
 * one: no way to tell it from others would make a plan repair it. A way costs at least its work over the chance that it
 * cures, and the proofs that count in every job; looks are left out. Faults that nothing cures are not among them.
 */
export function dearRepairs({ model }: Context): ReadonlySet<FaultIndex> {
  const works = waysToCure(model)
  const proved = model.proofs
    .filter(({ places }) => places.length === 0)
    .reduce(
      (sum, { times, minutes }) => sum + workCost(model, { minutes: times * minutes, costs: 0, waits: 0 }),
      0,
    )
  const dear = [...model.faults.keys()].filter((fault) => {
    const costs = works.flatMap(({ action, cost }) => {
      const chance = actionCures(model, action, fault)
      return chance > 0 ? [cost / chance + proved] : []
    })
    return costs.length > 0 && Math.min(...costs) >= model.ruleset.handover
  })
  return new Set(dear)
}

/** All that can cure something, with what it costs at least. */
function waysToCure(model: Model): { action: Action; cost: number }[] {
  const ways: { action: Action; cost: number }[] = []
  for (const [test, { cost, waits, parts, kind }] of model.tests.entries()) {
    const work = cost + waitingCost(model, waits)
    ways.push({ action: { do: "test", test }, cost: work })
    if (kind !== "swaps") continue
    for (const part of parts)
      ways.push({ action: { do: "keep", part }, cost: work + at(model.places, part).price })
  }
  for (const [part, { kind, price }] of model.places.entries()) {
    if (kind !== "part") continue
    const work = replaceWork(model, part)
    const cost = price + workCost(model, work) + waitingCost(model, work.waits)
    ways.push({ action: { do: "replace", part }, cost })
  }
  for (const fault of model.faults.keys()) {
    const work = fixWork(model, fault)
    if (work === undefined) continue
    ways.push({ action: { do: "fix", fault }, cost: workCost(model, work) + waitingCost(model, work.waits) })
  }
  return ways
}
