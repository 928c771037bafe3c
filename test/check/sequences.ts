import type { Model } from "../../compiler/model/model.ts"
import { type Action, actions, outcomes, type State, start } from "../support/reference.ts"

/** By the plain semantics: every sequence of tests with every outcome, one after the other. */
const MOST_STATES = 4000

export interface Step {
  readonly before: State
  readonly action: Action
  readonly after: State
}

/** All steps that can be taken from a state on, or undefined where there are too many. */
export function steps(model: Model, from = start(model)): Step[] | undefined {
  const found: Step[] = []
  const stack = [from]
  while (stack.length > 0) {
    const before = stack.pop()!
    for (const action of actions(model, before)) {
      for (const { state, weight } of outcomes(model, before, action)) {
        if (weight <= 0) continue
        found.push({ before, action, after: state })
        if (found.length > MOST_STATES) return undefined
        stack.push(state)
      }
    }
  }
  return found
}

/** Chance by fault, whatever its flag. */
export function chances(model: Model, { hypotheses }: State): number[] {
  const sums = model.faults.map(() => 0)
  for (const { fault, weight } of hypotheses) sums[fault] = sums[fault]! + weight
  const all = sums.reduce((a, b) => a + b, 0)
  return sums.map((sum) => sum / all)
}

export const unlike = (a: number, b: number) => Math.abs(a - b) > 1e-9
