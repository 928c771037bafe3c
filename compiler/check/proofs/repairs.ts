import type { Model } from "../../model/model.ts"
import { cureChance, fixWork, waitingCost, workCost } from "../../model/repairs.ts"
import type { Context } from "../context.ts"
import { isRepairable } from "./blind-tests.ts"
import { doableTests } from "./doable-tests.ts"

/**
 * Faults that no action can cure: in a setup that no test and no `fix` redoes, that nothing redoes on the way to another
 * place, and that no other setup eases.
 */
export function unrepairedFaults(context: Context): number[] {
  const { model } = context
  const doable = context.once(doableTests)
  const onTheWay = redoneOnTheWay(model)
  return [...model.faults.keys()].filter((fault) => {
    if (isRepairable(model, fault)) return false
    const { place, eased } = model.faults[fault]!
    if (onTheWay.has(place) && model.places[place]!.cures > 0) return false
    if (eased.some(({ setup, chance }) => chance > 0 && onTheWay.has(setup))) return false
    return !model.tests.some((test, i) => doable.tests[i] && cureChance(model, test, fault) > 0)
  })
}

/** Setups that some repair redoes: replacing a part, or fixing a fault. */
function redoneOnTheWay(model: Model): ReadonlySet<number> {
  const redone = new Set<number>()
  for (const { kind, reach } of model.places)
    if (kind === "part") for (const setup of reach) redone.add(setup)
  for (const [fault, { place }] of model.faults.entries()) {
    if (fixWork(model, fault) === undefined) continue
    for (const setup of model.places[place]!.reach) redone.add(setup)
  }
  return redone
}

export type FreeRepair =
  | { readonly kind: "replace"; readonly part: number }
  | { readonly kind: "fix"; readonly fault: number }

/** Repairs that cost nothing: parts with a fault and without a price, fixes that take neither time nor money. */
export function freeRepairs(model: Model): FreeRepair[] {
  const blamed = new Set(model.faults.map(({ place }) => place))
  const parts = model.places.flatMap(({ kind, price }, part): FreeRepair[] =>
    kind === "part" && price === 0 && blamed.has(part) ? [{ kind: "replace", part }] : [],
  )
  const fixes = [...model.faults.keys()].flatMap((fault): FreeRepair[] => {
    const work = fixWork(model, fault)
    if (work === undefined) return []
    return workCost(model, work) + waitingCost(model, work.waits) > 0 ? [] : [{ kind: "fix", fault }]
  })
  return [...parts, ...fixes]
}
