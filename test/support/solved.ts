import type { Model } from "../../compiler/model/model.ts"
import { seeded, sketchFrom, tiny } from "./models.ts"
import type { Policy } from "./policies.ts"
import { bestPlan, TooLarge } from "./reference.ts"
import { modelOf, type Sketch } from "./sketch.ts"

export interface Solved {
  readonly seed: number
  readonly sketch: Sketch
  readonly model: Model
  /** Least expected total of any plan. */
  readonly best: number
  /** One of the plans that cost so much. */
  readonly plan: Policy
}

/** States after which a model counts as too large, as about one drawn in five does. */
const MOST = 600

/** A model with its least total, or undefined where it is too large for trying every plan in a moment. */
export function solve(sketch: Sketch): Omit<Solved, "seed"> | undefined {
  const model = modelOf(sketch)
  try {
    const { total, plan } = bestPlan(model, MOST)
    return { sketch, model, best: total, plan }
  } catch (error) {
    if (error instanceof TooLarge) return undefined
    throw error
  }
}

/** The first so many tiny models that can be solved, by rising seed from `from`: the same in every run. */
export function solvedModels(count: number, from = 1): Solved[] {
  const found: Solved[] = []
  for (let seed = from; found.length < count; seed++) {
    const solved = solve(sketchFrom(seeded(seed), tiny))
    if (solved) found.push({ seed, ...solved })
  }
  return found
}
