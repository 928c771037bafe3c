import type { State } from "./state.ts"

/** A state in the search, with what is known of its best cost: `lower` ≤ best ≤ `upper`. */
export interface Node {
  readonly state: State
  lower: number
  /** Cost of a plan that is in the table: handing over, or `chosen`. */
  upper: number
  /** The step of the best plan so far; undefined: hand over. */
  chosen: Choice | undefined
  /** The step of the base policy; undefined until followed, and where it hands over. */
  base: Choice | undefined
  followed: boolean
  /** Steps that have been looked into. */
  choices: Choice[]
  /** Undefined until expanded: then the steps that have not been looked into yet, the most promising first. */
  open: Open[] | undefined
  /** Trials that came through, and how many alternatives were tried with the base policy behind them. */
  visits: number
  tried: number
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

/** Works out anew what a choice costs from what is known of the nodes after it. */
export function refresh(choice: Choice): void {
  let lower = choice.cost
  let upper = choice.cost
  for (const { chance, node } of choice.branches) {
    lower += chance * node.lower
    upper += chance * node.upper
  }
  choice.lower = lower
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
