import { makeBound } from "./bound.ts"
import { type Canonical, makeCanonical } from "./canonical.ts"
import { actionsOf, gainPerCost, greedyAction, isIdle, openness } from "./greedy.ts"
import type { Problem } from "./problem.ts"
import { costOf, type Outcome, outcomes, type State, startState } from "./state.ts"
import { type Branch, type Choice, type Node, Table } from "./table.ts"

/**
 * Anytime AND/OR search with an upper and a lower bound in every state (in the family of AO*, Nilsson 1980, and of
 * bounded real-time dynamic programming, McMahan, Likhachev and Gordon 2005). A trial walks down from the start to
 * where the two bounds lie furthest apart, weighted by the chance to come there; it expands that state and backs both
 * bounds up. Trials take turns: one follows the actions with the least lower bound, which proves; the other those of
 * the best plan so far, which improves it: there each alternative is tried with the base policy behind it (rollout,
 * Bertsekas, Tsitsiklis and Wu 1997).
 */
export class Search {
  readonly root: Node
  /** States looked into so far; the measure of effort. */
  expanded = 0
  private readonly problem: Problem
  private readonly table: Table
  private readonly canonical: Canonical
  private readonly bound: (state: State) => number
  private turn = 0

  constructor(problem: Problem) {
    this.problem = problem
    this.table = new Table(problem)
    this.canonical = makeCanonical(problem)
    this.bound = makeBound(problem)
    this.root = this.intern(startState(problem))
    this.follow(this.root, 1)
  }

  get states(): number {
    return this.table.size
  }

  /** One trial from the start; false when the best plan is proved. */
  trial(): boolean {
    if (isSolved(this.root)) return false
    const improve = this.turn++ % 2 === 1
    const path: Node[] = []
    let node = this.root
    let reach = 1
    while (node.choices) {
      path.push(node)
      const next =
        (improve && this.step(node, node.chosen, reach)) || this.step(node, leastLower(node), reach)
      if (!next) break
      node = next.node
      reach *= next.chance
    }
    if (!node.choices) {
      this.expand(node, reach)
      path.push(node)
    }
    for (let i = path.length - 1; i >= 0; i--) this.backUp(path[i]!)
    return true
  }

  private intern(state: State): Node {
    return this.table.intern(this.canonical(state), this.bound)
  }

  private branches(found: readonly Outcome[]): Branch[] {
    return found.map((o) => ({ label: o.label, chance: o.chance, node: this.intern(o.state) }))
  }

  /** Where a trial goes on behind an action: the open branch whose bounds weigh most. */
  private step(node: Node, choice: Choice | undefined, reach: number): Branch | undefined {
    if (!choice) return undefined
    if (!choice.branches) this.tryOut(choice, outcomes(this.problem, node.state, choice.action), reach)
    return furthestApart(choice)
  }

  /** Makes nodes of what an action leads to, with the base policy behind them. */
  private tryOut(choice: Choice, found: readonly Outcome[], reach: number): void {
    choice.branches = this.branches(found)
    for (const b of choice.branches) this.follow(b.node, reach * b.chance)
    this.refresh(choice)
  }

  private refresh(choice: Choice): void {
    let lower = costOf(this.problem, choice.action)
    let upper = lower
    for (const { chance, node } of choice.branches!) {
      lower += chance * node.lower
      upper += chance * node.upper
    }
    choice.lower = lower
    choice.upper = upper
  }

  /** Both bounds of a state from those of its actions; the lower never falls, the upper never rises. */
  private backUp(node: Node): void {
    let lower = node.stop.cost
    for (const choice of node.choices!) {
      if (choice.branches) this.refresh(choice)
      lower = Math.min(lower, choice.lower)
      take(node, choice)
    }
    node.lower = Math.min(Math.max(node.lower, lower), node.upper)
  }

  /** Lists every action that could still be best, and tries the most promising with the base policy behind them. */
  private expand(node: Node, reach: number): void {
    this.expanded++
    const { state } = node
    const open = openness(this.problem, state)
    const ranked: { choice: Choice; gain: number; found: Outcome[] }[] = []
    for (const action of actionsOf(this.problem, state)) {
      const found = outcomes(this.problem, state, action)
      if (found.length === 0 || isIdle(this.problem, state, action, found)) continue
      const known = node.chosen?.action === action ? node.chosen : undefined
      const choice: Choice = known ?? { action, lower: 0, upper: Infinity, branches: undefined }
      if (!known) {
        choice.lower = costOf(this.problem, action)
        for (const o of found) choice.lower += o.chance * this.quickBound(o.state)
      }
      if (choice.lower < node.upper || known) {
        ranked.push({ choice, gain: gainPerCost(this.problem, action, found, open), found })
      }
    }
    ranked.sort((a, b) => b.gain - a.gain || a.choice.action - b.choice.action)
    node.choices = ranked.map((r) => r.choice)
    for (const { choice, found } of ranked.slice(0, TRIED)) {
      if (choice.branches || choice.lower >= node.upper) continue
      this.tryOut(choice, found, reach)
      take(node, choice)
    }
  }

  private quickBound(state: State): number {
    return this.table.lowerOf(this.canonical(state), this.bound)
  }

  /**
   * Follows the base policy, so that `upper` is the cost of a plan and not only of stopping. Branches that a job hardly
   * ever takes are left alone: a noisy model has a great many of them, and they weigh nothing.
   */
  private follow(node: Node, reach: number): void {
    if (node.followed || isSolved(node) || reach < this.faint) return
    node.followed = true
    this.expanded++
    const next = greedyAction(this.problem, node.state)
    // What stopping here costs is not worth a step that costs as much.
    if (!next || costOf(this.problem, next.action) >= node.upper) return
    const choice: Choice = { action: next.action, lower: 0, upper: Infinity, branches: undefined }
    this.tryOut(choice, next.found, reach)
    take(node, choice)
  }

  /** Branches with less chance than this are not followed yet; it sinks as effort goes on. */
  private get faint(): number {
    return 1 / (FIRST_BRANCHES + this.expanded)
  }
}

/** The first plan follows branches down to one in so many jobs. */
const FIRST_BRANCHES = 300

/** How many alternatives of a state are tried with the base policy when it is expanded; the others wait for a trial. */
const TRIED = 6

/** Bounds closer than this, in money, are equal. */
export const SOLVED = 1e-10

export function isSolved(node: Node): boolean {
  return node.upper - node.lower <= SOLVED
}

function take(node: Node, choice: Choice): void {
  if (choice.upper >= node.upper) return
  node.upper = choice.upper
  node.chosen = choice
}

function leastLower(node: Node): Choice | undefined {
  let best: Choice | undefined
  for (const choice of node.choices!) if (!best || choice.lower < best.lower) best = choice
  return best
}

function furthestApart(choice: Choice): Branch | undefined {
  let best: Branch | undefined
  let most = 0
  for (const branch of choice.branches!) {
    const apart = branch.chance * (branch.node.upper - branch.node.lower)
    if (apart > most && !isSolved(branch.node)) {
      most = apart
      best = branch
    }
  }
  return best
}
