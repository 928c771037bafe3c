import type { Model } from "../../compiler/model/model.ts"
import { type Action, actions, outcomes, type State, start } from "../support/reference.ts"

/** By the plain semantics: every sequence of actions with every outcome, one after the other. */
const MOST_STATES = 3000

export interface Step {
  readonly before: State
  readonly action: Action
  readonly after: State
}

export const isTesting = ({ do: what }: Action) =>
  what === "test" || what === "takeOut" || what === "putBack" || what === "look"

/** All steps that can be taken from a state on with these actions, or undefined where there are too many. */
export function steps(
  model: Model,
  wanted: (action: Action) => boolean,
  from = start(model),
): Step[] | undefined {
  const found: Step[] = []
  const stack = [from]
  while (stack.length > 0) {
    const before = stack.pop()!
    for (const action of actions(model, before).filter(wanted).flatMap(both)) {
      for (const { state, chance } of outcomes(model, before, action)) {
        if (chance <= 0) continue
        found.push({ before, action, after: state })
        if (found.length > MOST_STATES) return undefined
        stack.push(state)
      }
    }
  }
  return found
}

/** A swap with either way to go on after `stays`. */
function both(action: Action): Action[] {
  return action.do === "test" ? [action, { ...action, leaveIn: true }] : [action]
}

/** Chance by what is wrong, cured or not; the faults of a state by their indexes. */
export function chances({ hypotheses }: State): ReadonlyMap<string, number> {
  const sums = new Map<string, number>()
  for (const { faults, weight } of hypotheses) {
    const key = faults.join(" ")
    sums.set(key, (sums.get(key) ?? 0) + weight)
  }
  return sums
}

export const unlike = (a: number, b: number) => Math.abs(a - b) > 1e-9
