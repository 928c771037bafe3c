import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import { addTo, at } from "../run/lookup.ts"
import { firstCommitments } from "./plan-paths.ts"
import { byRemedy } from "./remedies.ts"

/**
 * How far a plan narrows a fault down before it commits itself, in the figures of testability: after MIL-STD-2165 (1985)
 * and IEEE Std 1522-2004, both from memory. All are fractions of 1, weighted by rate (here: the chance of a job).
 */
export interface Testability {
  /** Jobs with a listed fault still possible at their first repair or their end: what is *detected*, the base of the rest. */
  readonly detected: number
  /** `within[L − 1]`: fraction of the detected that is narrowed down to at most L remedies by then, L from 1 to 3. */
  readonly within: readonly [number, number, number]
  /** Mean number of remedies that are left by then. */
  readonly meanSize: number
  /** Jobs left to replanning, because the plan stopped short of them; in none of the figures above. */
  readonly unplanned: number
}

/** A remedy with less chance than this is not counted as one of the group. */
const IN_GROUP = 0.01

/**
 * The group is the set of remedies which still have a chance of at least 1 % when the job first repairs something, or
 * else closes or hands over: what would be replaced or redone one after the other. `fraction isolated to a group of at
 * most L` = sum of the rates of groups of at most L, over the sum of the rates detected.
 */
export function testability(model: Model, plan: Plan): Testability {
  let detected = 0
  let unplanned = 0
  let members = 0
  const within: [number, number, number] = [0, 0, 0]
  for (const [index, reach] of firstCommitments(plan, plan.start)) {
    const node = at(plan.nodes, index)
    if (node.do === "advise") {
      unplanned += reach
      continue
    }
    const chances = byRemedy(model, node.belief).values()
    const size = [...chances].filter((chance) => chance >= IN_GROUP).length
    if (size === 0) continue
    detected += reach
    members += reach * size
    for (const most of [1, 2, 3] as const) if (size <= most) addTo(within, most - 1, reach)
  }
  const over = (sum: number) => (detected > 0 ? sum / detected : 0)
  return {
    detected,
    within: [over(within[0]), over(within[1]), over(within[2])],
    meanSize: over(members),
    unplanned,
  }
}
