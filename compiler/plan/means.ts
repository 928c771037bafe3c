import { Bounds } from "./bound.ts"
import { Greedy } from "./greedy.ts"
import type { Problem } from "./problem.ts"
import { RepairSequence } from "./repair-sequence.ts"
import { Dynamics } from "./transition.ts"

/** What searches of one problem share. */
export interface Means {
  readonly dynamics: Dynamics
  readonly bounds: Bounds
  readonly greedy: Greedy
  readonly sequences: RepairSequence
}

export function meansOf(problem: Problem): Means {
  const dynamics = new Dynamics(problem)
  return {
    dynamics,
    bounds: new Bounds(dynamics),
    greedy: new Greedy(dynamics),
    sequences: new RepairSequence(dynamics),
  }
}
