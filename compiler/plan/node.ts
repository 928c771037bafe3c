import type { Figures } from "./expected.ts"
import type { State } from "./state.ts"

/** A state in the search, with what is known of its best cost: `lower` ≤ best ≤ `upper`. */
export class Node {
  readonly state: State
  /** Cost of a plan that is known: handing over, the repair sequence, or `chosen`. */
  upper: number
  /** The step of the best plan so far; undefined: the repair sequence where it is worked out, else hand over. */
  chosen: Choice | undefined = undefined
  /** The step of the base policy; undefined until followed, and where it hands over. */
  base: Choice | undefined = undefined
  followed = false
  /** Of the repair sequence from here, once it has been worked out. */
  sequence: Figures | undefined = undefined
  /** Steps that have been looked into. */
  choices: Choice[] = []
  /** Undefined until expanded: then the steps that have not been looked into yet, the most promising first. */
  open: Open[] | undefined = undefined
  /** Trials that came through, and how many alternatives were tried with the base policy behind them. */
  visits = 0
  tried = 0
  readonly #bound: (state: State) => number
  #known = Number.NaN

  /** `bound` is asked once, when the lower bound is first needed: most states are only followed, which needs none. */
  constructor(state: State, bound: (state: State) => number, upper: number) {
    this.state = state
    this.#bound = bound
    this.upper = upper
  }

  get lower(): number {
    if (Number.isNaN(this.#known)) this.#known = this.#bound(this.state)
    return this.#known
  }

  set lower(value: number) {
    this.#known = value
  }
}

/** A step that has not been looked into, and what the total is at least where it comes first. */
export interface Open {
  readonly step: number
  readonly lower: number
}

export interface Choice {
  readonly step: number
  /** Expected money of the step itself; infinite where it can't be done. */
  readonly cost: number
  /** At first the bound of the step, before it was looked into. */
  lower: number
  upper: number
  /** Outcomes after which the job goes on. */
  readonly branches: readonly Branch[]
}

export interface Branch {
  readonly chance: number
  readonly node: Node
  visits: number
}

/** Bounds closer than this, in money, are equal. */
const SOLVED = 1e-10

export function isSolved(node: Node): boolean {
  return node.upper - node.lower <= SOLVED
}

/** States of the best plan, or of the base policy where nothing is chosen yet, parents first, with the chance to come there. */
export function reached(root: Node): { order: Node[]; reach: Map<Node, number> } {
  const order: Node[] = []
  const seen = new Set<Node>()
  const visit = (node: Node): void => {
    if (seen.has(node)) return
    seen.add(node)
    for (const { node: next } of (node.chosen ?? node.base)?.branches ?? []) visit(next)
    order.push(node)
  }
  visit(root)
  order.reverse()
  const reach = new Map(order.map((node) => [node, 0]))
  reach.set(root, 1)
  for (const node of order) {
    for (const { node: next, chance } of (node.chosen ?? node.base)?.branches ?? [])
      reach.set(next, reach.get(next)! + reach.get(node)! * chance)
  }
  return { order, reach }
}

/** Makes a choice that costs less than the best so far the best. */
export function take(node: Node, choice: Choice): void {
  if (choice.upper >= node.upper) return
  node.upper = choice.upper
  node.chosen = choice
}

/** Works out anew what a choice costs at least from what is known of the nodes after it. */
export function refreshLower(choice: Choice): void {
  let lower = choice.cost
  for (const { chance, node } of choice.branches) lower += chance * node.lower
  choice.lower = Math.max(choice.lower, lower)
}

/** The same for what it costs at most. */
export function refreshUpper(choice: Choice): void {
  let upper = choice.cost
  for (const { chance, node } of choice.branches) upper += chance * node.upper
  choice.upper = upper
}

/** The open branch whose bounds weigh most, each in its turn: visits go in proportion to chance times gap. */
export function furthestApart(choice: Choice): Branch | undefined {
  let furthest: Branch | undefined
  let most = 0
  for (const branch of choice.branches) {
    if (isSolved(branch.node)) continue
    const apart = (branch.chance * (branch.node.upper - branch.node.lower)) / (1 + branch.visits)
    if (apart > most) {
      most = apart
      furthest = branch
    }
  }
  return furthest
}
