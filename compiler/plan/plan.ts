import type { GraphAction, GraphExpected } from "../run/graph.ts"
import type { CellIndex, FaultIndex, NodeIndex, PlaceIndex, RuleIndex, Table } from "../run/indexes.ts"

/**
 * A plan: a policy for the ruleset as a directed acyclic graph of states, equal states merged. `graph/` writes it down,
 * `check/` reads it for the codes that speak of the best plan.
 */
export interface Plan {
  readonly nodes: Table<NodeIndex, PlanNode>
  readonly start: NodeIndex
  readonly expected: Expected
  /** Proved lower bound on the expected total of any plan; equal to `expected.total` where `exact`. */
  readonly lower: number
  readonly exact: boolean
  /** Chance of a job with a pair of faults that the plan, being of too many faults for all pairs, leaves out. */
  readonly leftOut: number
}

/** All money in the ruleset's currency, per job; chances are fractions of 1. The fields are those of the graph. */
export type Expected = GraphExpected

/** One thing that can be done at the bench; indexes of the model's tests, places, faults and proofs. */
export type Action = GraphAction | { readonly do: "handover" }

/** What is thought of the machine at a node; chances given what has been found so far. */
export interface Belief {
  /** Everything that can still be wrong, by what is wrong and what of it is cured; they sum to 1. */
  readonly hypotheses: readonly Hypothesis[]
  /** By fault: chance that it was in the machine as it came in. */
  readonly present: Table<FaultIndex, number>
  /** By fault: chance that it is active now. */
  readonly active: Table<FaultIndex, number>
  /** Chance that it is something not listed. */
  readonly unlisted: number
}

export interface Hypothesis {
  /** One or two faults in rising order; none for something not listed. */
  readonly faults: readonly FaultIndex[]
  /** Those of them that are cured. */
  readonly cured: readonly FaultIndex[]
  readonly chance: number
}

export type PlanNode = {
  readonly belief: Belief
  /** Parts that are replaced by the shop's known-good ones. */
  readonly fitted: readonly PlaceIndex[]
  /** Chance that a job comes through this node. */
  readonly reach: number
  /** Expected cost from here on under this plan. */
  readonly costToGo: number
} & (PlanStep | { readonly do: "handover" } | { readonly do: "advise" })

export type PlanStep = GraphAction & {
  /** Money of this step, waiting included; the tries of its look are not. */
  readonly cost: number
  readonly edges: readonly PlanEdge[]
  /** The best that could be done here instead. */
  readonly second?: Alternative
}

export interface Alternative {
  readonly action: Action
  readonly costToGo: number
}

export interface PlanEdge {
  readonly on: readonly CellIndex[] | "gone" | "stays" | "holds" | "fails" | "done"
  readonly chance: number
  /** Undefined where the job ends. */
  readonly to: NodeIndex | undefined
  /** After `stays` of a swap: the known-good parts stay in. */
  readonly leaveIn: boolean
  /** Faults that could be present before, and cannot be any more. */
  readonly rulesOut: readonly FaultIndex[]
  /** Rules that acted here. */
  readonly because: readonly RuleIndex[]
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
  /** Only the plan: no second-best actions, and no `unavoidable` (0), which take longer than a rough plan. */
  readonly bare?: boolean
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
  /** The plan so far with nothing that takes longer than a first plan does: see `bare`. */
  draft(): Plan
}
