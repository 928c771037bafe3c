import { at } from "../run/lookup.ts"
import type { Expected } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"
import type { Step } from "./steps.ts"
import type { Transition } from "./transition.ts"

/** What a policy costs and does from one state on, in expectation; `Expected` but for what doesn't depend on the policy. */
export type Figures = { -readonly [K in Exclude<keyof Expected, "unavoidable">]: number }

/** What nothing costs and does. */
export const NOTHING: Figures = {
  total: 0,
  tests: 0,
  parts: 0,
  repairs: 0,
  proof: 0,
  comebacks: 0,
  handover: 0,
  waiting: 0,
  minutes: 0,
  steps: 0,
  comesBack: 0,
  handedOver: 0,
  wasted: 0,
  struck: 0,
  forbidden: 0,
}

export function handingOver({ handover }: Problem): Figures {
  return { ...NOTHING, total: handover, handover, steps: 1, handedOver: 1 }
}

/** The figures of a step and of what follows it. */
export function figuresOf(
  problem: Problem,
  state: State,
  step: Step,
  transition: Transition,
  after: readonly { readonly chance: number; readonly figures: Figures }[],
): Figures {
  const figures = ofStep(problem, state, step, transition)
  for (const { chance, figures: next } of after)
    for (const key of Object.keys(figures) as (keyof Figures)[]) figures[key] += chance * next[key]
  return figures
}

function ofStep(problem: Problem, state: State, step: Step, transition: Transition): Figures {
  const { cost, tries, comesBack, struck, forbidden } = transition
  const figures: Figures = { ...NOTHING, total: cost, steps: 1, struck, forbidden }
  if (step.kind === "close") {
    const { closing } = state.job
    figures.proof = closing.cost
    figures.minutes = closing.minutes
    figures.comesBack = comesBack
    figures.comebacks = comesBack * problem.comeback
    return figures
  }
  figures.waiting = step.waiting
  figures.parts = step.price
  figures.minutes = step.minutes + tries * problem.tryMinutes
  const work = step.cost - step.waiting - step.price + tries * problem.tryCost
  if (step.kind === "replace" || step.kind === "fix") figures.repairs = work
  else figures.tests = work
  if (step.price > 0) figures.wasted = step.price * chanceInVain(problem, state, step.subject)
  return figures
}

/** Chance that no fault of the machine lies in a part, cured or not. */
function chanceInVain({ states, place }: Problem, { ids, weights }: State, part: number): number {
  let chance = 0
  for (const [k, id] of ids.entries()) {
    const first = at(states.first, id >> 2)
    const second = at(states.second, id >> 2)
    const isBad = (first >= 0 && place[first] === part) || (second >= 0 && place[second] === part)
    if (!isBad) chance += at(weights, k)
  }
  return chance
}
