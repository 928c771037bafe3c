import type { Model } from "../model/model.ts"

/**
 * A plan: a policy for the ruleset as a directed acyclic graph of states, equal states merged. `graph/` writes it down,
 * `check/` reads it for the codes that speak of the best plan.
 */
export interface Plan {
  readonly nodes: readonly PlanNode[]
  readonly start: number
  readonly expected: Expected
  /** Proved lower bound on the expected total of any plan; equal to `expected.total` where `exact`. */
  readonly lower: number
  readonly exact: boolean
}

/** All money in the ruleset's currency, `minutes` and `steps` per job, `wrong` and `handover` chances of 1. */
export interface Expected {
  readonly total: number
  readonly tests: number
  readonly minutes: number
  readonly steps: number
  readonly wrong: number
  readonly handover: number
}

export interface Belief {
  /** By fault: chance that it is there and not cured, at this node. */
  readonly uncured: Float64Array
  /** By fault: chance that it was there and has been cured by what was redone. */
  readonly cured: Float64Array
}

export interface Remedy {
  readonly kind: "replace" | "redo" | "done"
  /** Place for `replace` and `redo`. */
  readonly place?: number
}

export type PlanNode = {
  readonly belief: Belief
  /** Chance that a job comes through this node. */
  readonly reach: number
  /** Expected cost from here on under this plan. */
  readonly costToGo: number
} & (
  | {
      readonly do: "test"
      readonly test: number
      readonly putBack: boolean
      readonly edges: readonly PlanEdge[]
      /** What would be done here if not this test. */
      readonly second?: Alternative
    }
  | { readonly do: "verdict"; readonly remedy: Remedy; readonly chance: number }
  | { readonly do: "handover" }
  | { readonly do: "advise" }
)

export interface Alternative {
  /** Undefined: end here, with the best verdict or by handing over. */
  readonly test?: number
  readonly putBack: boolean
  readonly costToGo: number
}

export interface PlanEdge {
  readonly outcome: readonly number[] | "gone" | "stays"
  readonly chance: number
  readonly to: number
  /** Faults whose weight went to zero here. */
  readonly rulesOut: readonly number[]
  /** Rules that acted here. */
  readonly because: readonly number[]
}

export interface PlanOptions {
  /** How many states may be expanded in all; a count and not a time, so that the same source gives the same plan. */
  readonly effort?: number
  /** Stop when (upper − lower) / upper is at or below this. */
  readonly gap?: number
  /** A branch with less chance than this is left to `advise`. */
  readonly mass?: number
  /** Megabytes that the states met may take, about; planning ends when they are full. */
  readonly memory?: number
}

export interface Progress {
  /** Best plan so far, and the proved lower bound; money. */
  readonly upper: number
  readonly lower: number
  readonly expanded: number
  /** Memory that the states met so far take, about. */
  readonly bytes: number
  /** Part of the effort or of the memory that is spent, whichever is nearer to its end, 0 to 1; a proof may come sooner. */
  readonly spent: number
  readonly done: boolean
}

/** Anytime: call `advance` until done or until there is no more patience; `plan()` is the best plan so far. */
export interface Planner {
  advance(expansions: number): Progress
  readonly progress: Progress
  plan(): Plan
}

export type MakePlanner = (model: Model, options?: PlanOptions) => Planner
