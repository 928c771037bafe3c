import type { State } from "./state.ts"
import type { Stop } from "./stop.ts"

/** A state in the search, with what is known of its best cost: `lower` ≤ best ≤ `upper`. */
export interface Node {
  readonly state: State
  readonly stop: Stop
  lower: number
  /** Cost of a plan that is in the table: stopping, or `chosen`. */
  upper: number
  /** The action of the best plan so far; undefined: stop. */
  chosen: Choice | undefined
  /** The step of the base policy; undefined until followed, and where it stops. */
  base: Choice | undefined
  followed: boolean
  /** Actions that have been looked into. */
  choices: Choice[]
  /** Undefined until expanded: then the actions that have not been looked into yet, the most promising first. */
  open: Open[] | undefined
  /** Trials that came through, and how many alternatives were tried with the base policy behind them. */
  visits: number
  tried: number
}

/** An action that has not been looked into, and what the total is at least where it comes first. */
export interface Open {
  readonly action: number
  readonly lower: number
}

export interface Choice {
  readonly action: number
  lower: number
  upper: number
  readonly branches: readonly Branch[]
}

export interface Branch {
  readonly label: number
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
