import { makeCanonical } from "../../compiler/plan/canonical.ts"
import { makeProspects, type Prospect } from "../../compiler/plan/greedy.ts"
import type { Change, Problem } from "../../compiler/plan/problem.ts"
import { costOf, type Outcome, outcomes, type State, startState } from "../../compiler/plan/state.ts"
import { stop } from "../../compiler/plan/stop.ts"
import { makeScratch } from "../../compiler/plan/weigh.ts"
import type { Draw } from "../support/models.ts"

/** A rule that says what to do next from what is known now; undefined: end here. */
export interface Peer {
  readonly name: string
  /** `open`: the actions that may be done and cost less than ending here, each with the bits that it tells per money. */
  choose(problem: Problem, state: State, open: readonly Prospect[], draw: Draw): number | undefined
  /** Ends wherever going on turns out dearer; a rule alone cannot know that. */
  readonly hindsight?: true
}

function greatest(open: readonly Prospect[], worth: (each: Prospect) => number): number | undefined {
  let best: Prospect | undefined
  let most = 1e-12
  for (const each of open) {
    const value = worth(each)
    if (value > most) {
      best = each
      most = value
    }
  }
  return best?.action
}

/** Chance that a swap or a redoing mends the machine; put back mends nothing. */
function mends(problem: Problem, state: State, action: number): number {
  const work = problem.work[action % problem.tests]!
  if (work.kind === "look" || action >= problem.tests) return 0
  const { part, cures } = work as Change
  let sum = 0
  for (let k = 0; k < state.ids.length && state.ids[k]! < problem.faults; k++) {
    const place = problem.place[state.ids[k]!]!
    sum += state.weights[k]! * (place === part ? 1 : cures[place]!)
  }
  return sum
}

const gainPerCost: Peer["choose"] = (_, __, open) => greatest(open, ({ gain }) => gain)

export const peers: readonly Peer[] = [
  { name: "gain per cost", choose: gainPerCost },
  { name: "gain per cost, ending in hindsight", choose: gainPerCost, hindsight: true },
  {
    name: "gain",
    choose: (problem, _, open) => greatest(open, ({ action, gain }) => gain * costOf(problem, action)),
  },
  {
    name: "chance per cost",
    choose: (problem, state, open) =>
      greatest(open, ({ action }) => mends(problem, state, action) / Math.max(costOf(problem, action), 1e-9)),
  },
  {
    name: "random order",
    choose: (_, __, open, draw) => open[draw.int(0, open.length - 1)]?.action,
  },
]

/** Jobs rarer than this go on along one outcome only, drawn by its chance: no bias, and no endless tree. */
const RARE = 1e-3

/** Expected total of a rule, semantics.md. */
export function totalOf(problem: Problem, peer: Peer, draw: Draw): number {
  const canonical = makeCanonical(problem)
  const prospects = makeProspects(problem)
  const scratch = makeScratch(problem)
  const from = (state: State, reach: number): number => {
    const ending = stop(problem, state).cost
    let open = prospects(state).filter(({ action }) => costOf(problem, action) < ending)
    let action: number | undefined
    let found: readonly Outcome[] = []
    while (found.length === 0) {
      action = open.length > 0 ? peer.choose(problem, state, open, draw) : undefined
      if (action === undefined) return ending
      found = outcomes(problem, state, action, scratch)
      // What the rules leave no outcome cannot be done.
      open = open.filter((each) => each.action !== action)
    }
    if (reach < RARE) found = [drawn(found, draw)]
    let total = costOf(problem, action!)
    for (const { chance, state: next } of found) {
      const share = found.length === 1 ? 1 : chance
      total += share * from(canonical(next), reach * share)
    }
    return peer.hindsight && reach >= RARE ? Math.min(total, ending) : total
  }
  return from(canonical(startState(problem)), 1)
}

function drawn<T extends { readonly chance: number }>(found: readonly T[], draw: Draw): T {
  let left = draw.int(0, 1e9) / 1e9
  for (const each of found) {
    left -= each.chance
    if (left <= 0) return each
  }
  return found.at(-1)!
}
