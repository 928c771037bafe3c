import { at, itemAt } from "../run/lookup.ts"
import type { Problem } from "./problem.ts"
import type { Step } from "./steps.ts"

/** A step that can put a fault right, as the estimate counts it. */
export interface Remedy {
  readonly step: number
  /** Money of trying it, its look included. */
  readonly cost: number
  /** Money besides where it was the right one: a part that a swap has shown to be bad is bought. */
  readonly extra: number
  /** Chance that it puts the fault right. */
  readonly chance: number
}

/** By fault: its remedies, the least cost for their chance first. */
export function remediesOf(problem: Problem): readonly (readonly Remedy[])[] {
  const { model, steps, place, tryCost } = problem
  const price = (step: Step) => step.parts.reduce((sum, part) => sum + itemAt(model.places, part).price, 0)
  return model.faults.map((_, fault) => {
    const remedies: Remedy[] = []
    steps.forEach((step, index) => {
      if (step.kind === "putBack" || step.kind === "takeOut" || step.leaveIn) return
      const isSwapped = step.kind === "swaps" && step.parts.includes(at(place, fault))
      const chance = isSwapped ? 1 : at(step.cures, fault)
      if (chance === 0) return
      const extra = isSwapped ? price(step) : 0
      remedies.push({ step: index, cost: step.cost + step.tries * tryCost, extra, chance })
    })
    return remedies.sort((a, b) => (a.cost + a.extra) / a.chance - (b.cost + b.extra) / b.chance)
  })
}
