import { makeBound } from "./bound.ts"
import { type Canonical, makeCanonical } from "./canonical.ts"
import { best, makeProspects, type Prospect } from "./greedy.ts"
import type { Problem } from "./problem.ts"
import { costOf, outcomes, type State, startState } from "./state.ts"
import { type Branch, type Choice, type Node, Table } from "./table.ts"
import { makeScratch, type Scratch } from "./weigh.ts"

/**
 * How many alternatives of a state have been tried with the base policy when it was passed so often: progressive
 * widening (Coulom 2007), so that no state hogs the effort and none stays narrow where many jobs pass.
 */
function wide(visits: number): number {
  return 3 + Math.floor(visits / 4)
}

/** One trial in so many proves, the others improve. */
const TURNS = 4

/** An alternative is followed down to one in so many of the jobs that come to it. */
const ROLLOUT_BRANCHES = 60

/** How many alternatives are tried where the search saw no need to try any. */
const COMPARED = 3

/**
 * The first plan follows branches down to one in so many jobs: fewer where a state is dear to look into, so that a
 * manufacturer's ruleset has a first plan within seconds too.
 */
function firstBranches(problem: Problem): number {
  return Math.round(Math.min(300, Math.max(30, 3e6 / (problem.tests * problem.faults))))
}

/** Bounds closer than this, in money, are equal. */
export const SOLVED = 1e-10

/**
 * Anytime AND/OR search with an upper and a lower bound in every state (in the family of AO*, Nilsson 1980, and of
 * bounded real-time dynamic programming, McMahan, Likhachev and Gordon 2005). A trial walks down from the start to
 * where the two bounds lie furthest apart, weighted by the chance to come there; it expands that state and backs both
 * bounds up. Trials take turns: one follows the actions with the least lower bound, which proves; the others those of
 * the best plan so far, which improves it: there each alternative is tried with the base policy behind it (rollout,
 * Bertsekas, Tsitsiklis and Wu 1997).
 */
export class Search {
  readonly root: Node
  /** States looked into so far; the measure of effort. */
  expanded = 0
  private readonly problem: Problem
  private readonly table: Table
  private readonly scratch: Scratch
  private readonly canonical: Canonical
  private readonly bound: (state: State) => number
  private readonly prospects: (state: State) => Prospect[]
  private readonly branchesAtFirst: number
  private turn = 0

  constructor(problem: Problem) {
    this.problem = problem
    this.table = new Table(problem)
    this.scratch = makeScratch(problem)
    this.canonical = makeCanonical(problem)
    this.bound = makeBound(problem)
    this.prospects = makeProspects(problem)
    this.branchesAtFirst = firstBranches(problem)
    this.root = this.table.intern(this.canonical(startState(problem)), this.bound)
    this.follow(this.root, 1, this.faint)
  }

  /** One trial from the start; false when the best plan is proved. */
  trial(): boolean {
    if (isSolved(this.root)) return false
    const improve = this.turn++ % TURNS !== 0
    const path: Node[] = []
    let node = this.root
    let reach = 1
    for (;;) {
      path.push(node)
      node.visits++
      const isNew = !node.choices
      if (!node.choices) this.expand(node)
      if (this.widen(node, reach) || isNew) break
      const next = (improve && this.step(node.chosen)) || this.prove(node)
      if (!next) break
      next.visits++
      node = next.node
      reach *= next.chance
    }
    for (let i = path.length - 1; i >= 0; i--) this.backUp(path[i]!)
    return true
  }

  /** Where a trial goes on behind an action. */
  private step(choice: Choice | undefined): Branch | undefined {
    return choice?.branches && furthestApart(choice)
  }

  /** The same behind the action that has the least lower bound, all such bounds being worked out that could matter. */
  private prove(node: Node): Branch | undefined {
    for (;;) {
      const choice = leastLower(node)
      if (!choice || choice.lower >= node.stop.cost) return undefined
      if (choice.branches) return furthestApart(choice)
      this.tryOut(node, choice, 0)
      take(node, choice)
    }
  }

  /** Makes nodes of what an action leads to, with the base policy behind them. */
  private tryOut(
    node: Node,
    choice: Choice,
    reach: number,
    faint = Math.max(this.faint, reach / ROLLOUT_BRANCHES),
  ): void {
    const branches: Branch[] = []
    for (const { label, chance, state } of outcomes(this.problem, node.state, choice.action, this.scratch)) {
      branches.push({ label, chance, visits: 0, node: this.table.intern(this.canonical(state), this.bound) })
    }
    choice.branches = branches
    for (const b of branches) this.follow(b.node, reach * b.chance, faint)
    this.refresh(choice)
  }

  private refresh(choice: Choice): void {
    // An action that the rules and nevers leave no outcome cannot be done.
    let lower = choice.branches!.length > 0 ? costOf(this.problem, choice.action) : Number.POSITIVE_INFINITY
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

  /** Lists every action of a state, the most promising first. */
  private expand(node: Node): void {
    this.expanded++
    const ranked = this.prospects(node.state).sort((a, b) => b.gain - a.gain || a.action - b.action)
    node.choices = ranked.map(({ action }) =>
      node.chosen?.action === action
        ? node.chosen
        : {
            action,
            lower: costOf(this.problem, action),
            upper: Number.POSITIVE_INFINITY,
            branches: undefined,
          },
    )
  }

  /** Tries the next alternatives of a state that is passed often enough; whether there were any. */
  private widen(node: Node, reach: number): boolean {
    const until = Math.min(node.choices!.length, wide(node.visits))
    const from = node.tried
    for (; node.tried < until; node.tried++) {
      const choice = node.choices![node.tried]!
      if (choice.lower >= node.upper || (choice.branches && node.chosen === choice)) continue
      if (!choice.branches) this.tryOut(node, choice, reach)
      else for (const b of choice.branches) this.follow(b.node, reach * b.chance, this.faint)
      this.refresh(choice)
      take(node, choice)
    }
    return node.tried > from
  }

  /** Makes sure that something else than the chosen action has been tried at a state, so that the two can be compared. */
  compare(node: Node, reach: number): void {
    if (!node.choices) this.expand(node)
    const others = node.choices!.filter((choice) => choice.action !== node.chosen?.action)
    if (others.some(({ branches }) => branches)) return
    for (const choice of others.slice(0, COMPARED)) this.tryOut(node, choice, reach)
  }

  /**
   * Follows the base policy, so that `upper` is the cost of a plan and not only of stopping. Branches that a job hardly
   * ever takes are left alone: a noisy model has a great many of them, and they weigh nothing.
   */
  private follow(node: Node, reach: number, faint: number): void {
    if (node.followed || isSolved(node) || reach < faint) return
    node.followed = true
    this.expanded++
    // A step that costs as much as stopping here is not worth it.
    const next = best(this.problem, this.prospects(node.state), node.upper)
    if (!next) return
    const choice: Choice = {
      action: next.action,
      lower: 0,
      upper: Number.POSITIVE_INFINITY,
      branches: undefined,
    }
    this.tryOut(node, choice, reach, faint)
    take(node, choice)
  }

  /** Branches with less chance than this are not followed yet; it sinks as effort goes on. */
  private get faint(): number {
    return 1 / (this.branchesAtFirst + this.expanded)
  }
}

export function isSolved(node: Node): boolean {
  return node.upper - node.lower <= SOLVED
}

function take(node: Node, choice: Choice): void {
  if (choice.upper >= node.upper) return
  node.upper = choice.upper
  node.chosen = choice
}

function leastLower(node: Node): Choice | undefined {
  let least: Choice | undefined
  for (const choice of node.choices!) if (!least || choice.lower < least.lower) least = choice
  return least
}

/** The open branch whose bounds weigh most, each in its turn: visits go in proportion to chance times gap. */
function furthestApart(choice: Choice): Branch | undefined {
  let furthest: Branch | undefined
  let most = 0
  for (const branch of choice.branches!) {
    if (isSolved(branch.node)) continue
    const apart = (branch.chance * (branch.node.upper - branch.node.lower)) / (1 + branch.visits)
    if (apart > most) {
      most = apart
      furthest = branch
    }
  }
  return furthest
}
