import {
  type CellIndex,
  type FaultIndex,
  type NodeIndex,
  type PlaceIndex,
  type ProofIndex,
  type RuleIndex,
  type TestIndex,
  tableOf,
} from "../run/indexes.ts"
import { at, lookUp } from "../run/lookup.ts"
import { beliefOf } from "./belief.ts"
import { type Figures, figuresOf, handingOver } from "./expected.ts"
import { DONE, FAILS, GONE, HOLDS, STAYS } from "./job.ts"
import { type Branch, type Choice, isSolved, Node } from "./node.ts"
import type { Action, Alternative, Plan, PlanEdge, PlanNode } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { Sequence } from "./repair-sequence.ts"
import type { Search } from "./search.ts"
import type { State } from "./state.ts"
import type { Step } from "./steps.ts"
import type { Outcome, Transition } from "./transition.ts"

/** Steps that fewer jobs come to are not compared with what else could be done there. */
const COMPARED_ABOVE = 0.01

/** Part of its own cost that a test must save by what it tells to count as an alternative. */
const SAVES = 0.05

/** Chances that differ by less are the same. */
const SAME = 1e-9

/** Part of the search's effort that the comparing may take besides, and states at least, by step of the ruleset. */
const COMPARED_EFFORT = 0.05
const COMPARED_AT_LEAST = 100_000

const LABELS = new Map<number, Exclude<PlanEdge["on"], readonly number[]>>([
  [GONE, "gone"],
  [STAYS, "stays"],
  [DONE, "done"],
  [HOLDS, "holds"],
  [FAILS, "fails"],
])

/** The best that the search knows at a node: to do `chosen`, to go on by a repair sequence, or to hand over. */
interface Settled {
  readonly figures: Figures
  readonly chosen?: Choice
  readonly transition?: Transition
  readonly isSequence?: true
}

interface Walk {
  readonly settled: ReadonlyMap<Node, Settled>
  /** Nodes of the best policy, parents before children. */
  readonly order: readonly Node[]
  /** By node that is written: the chance to come to it. */
  readonly reach: ReadonlyMap<Node, number>
}

/**
 * Writes the best policy of a search down as a plan. `mass`: a branch that a job takes with less chance than this is
 * left to `advise`; what it costs is counted all the same. `mayCompare`: spend some effort on what else could be done.
 */
export function extract(
  problem: Problem,
  search: Search,
  mass: number,
  unavoidable: number,
  mayCompare: boolean,
): Plan {
  const { root } = search
  if (mayCompare) compare(problem, search)
  const walked = walk(problem, search, mass)
  const written = walked.order.filter((node) => walked.reach.has(node))
  const index = new Map(written.map((node, i) => [node, i as NodeIndex]))
  const nodes = tableOf<NodeIndex, PlanNode>(
    written.map((node) => nodeOf(problem, search, walked, node, index, mass)),
  )
  const { figures } = lookUp(walked.settled, root)
  const expected = { ...figures, unavoidable }
  const leftOut = leftOutOf(problem, walked)
  const exact = leftOut === 0 && isSolved(root)
  // What states that leave something out prove doesn't hold of all.
  const proved = leftOut === 0 ? root.lower : (1 - problem.states.leftOut) * search.lowerAtFirst
  const lower = exact ? expected.total : Math.min(proved, expected.total)
  return { nodes, start: lookUp(index, root), expected, lower, exact, leftOut }
}

/** Chance of the jobs that a plan leaves out: from the beginning, and on the way where it is written. */
function leftOutOf({ states }: Problem, { settled, reach }: Walk): number {
  let chance = states.leftOut
  if (chance === 0) return 0
  for (const [node, here] of reach)
    for (const outcome of settled.get(node)?.transition?.outcomes ?? [])
      chance += here * outcome.chance * outcome.leftOut
  return chance
}

/** Tries something else at the likely nodes. It may find something better, so it comes before anything is written down. */
function compare(problem: Problem, search: Search): void {
  const { settled, order, reach } = walk(problem, search, COMPARED_ABOVE)
  const enough = search.expanded * (1 + COMPARED_EFFORT) + COMPARED_AT_LEAST / problem.steps.length
  for (const node of order) {
    const chance = reach.get(node) ?? 0
    if (node.chosen && lookUp(settled, node).chosen && chance >= COMPARED_ABOVE && search.expanded < enough)
      search.compare(node, chance)
  }
}

/** The nodes of the best policy with the chance to come to each; below `mass` none is followed. */
function walk(problem: Problem, search: Search, mass: number): Walk {
  const settled = new Map<Node, Settled>()
  const order: Node[] = []
  settle(problem, search, search.root, settled, order)
  order.reverse()
  const reach = new Map<Node, number>([[search.root, 1]])
  for (const node of order) {
    const chance = reach.get(node)
    if (chance === undefined || (chance < mass && node !== search.root)) continue
    if (lookUp(settled, node).isSequence) unroll(search, node, settled, order)
    for (const b of lookUp(settled, node).chosen?.branches ?? [])
      reach.set(b.node, (reach.get(b.node) ?? 0) + chance * b.chance)
  }
  return { settled, order, reach }
}

/**
 * Settles a node and all below it, children first into `order`. The search itself is left as it is, so that looking at
 * the plan along the way never changes what comes of going on.
 */
function settle(
  problem: Problem,
  search: Search,
  node: Node,
  settled: Map<Node, Settled>,
  order: Node[],
): Figures {
  const known = settled.get(node)
  if (known) return known.figures
  let best: Settled = { figures: handingOver(problem) }
  if (node.chosen) {
    const { chosen } = node
    const transition = withNodesOf(chosen, search.dynamics.after(node.state, chosen.step))
    const after = chosen.branches.map((branch) => ({
      chance: branch.chance,
      figures: settle(problem, search, branch.node, settled, order),
    }))
    const figures = figuresOf(problem, node.state, at(problem.steps, chosen.step), transition, after)
    if (figures.total < problem.handover) best = { figures, chosen, transition }
  } else if (node.sequence !== undefined && node.sequence.total < problem.handover) {
    best = { figures: node.sequence, isSequence: true }
  }
  settled.set(node, best)
  order.push(node)
  return best.figures
}

/** The same transition with the states that the search has anyway: a plan of five hundred faults would hold them twice. */
function withNodesOf({ branches }: Choice, transition: Transition): Transition {
  let next = 0
  const outcomes = transition.outcomes.map((outcome) =>
    outcome.state === undefined ? outcome : { ...outcome, state: branches[next++]!.node.state },
  )
  return { ...transition, outcomes }
}

/** Makes nodes of what a repair sequence does, for this walk alone. */
function unroll(search: Search, node: Node, settled: Map<Node, Settled>, order: Node[]): void {
  const visit = ({ step, after, figures }: Sequence, here: Node): void => {
    if (here !== node) order.push(here)
    if (step === undefined) {
      settled.set(here, { figures })
      return
    }
    const { index, transition } = step
    const branches = after.map(({ chance, sequence }): Branch => {
      const made = new Node(sequence.state, () => 0, sequence.figures.total)
      made.followed = true
      visit(sequence, made)
      return { chance, visits: 0, node: made }
    })
    const chosen = { step: index, cost: transition.cost, lower: 0, upper: figures.total, branches }
    settled.set(here, { figures, chosen, transition })
  }
  visit(search.sequences.from(node.state), node)
}

/**
 * Nobody has looked at what can be done here, or at what may come of it: handing over is only for want of a better plan.
 * What is known of the base policy may be enough to say that it isn't better, whatever comes of the rest.
 */
function isUnseen(node: Node, handover: number): boolean {
  const isNew = (each: Node) => !each.followed && !isSolved(each)
  if (isNew(node)) return true
  const branches = node.base?.branches ?? []
  if (isSolved(node) || !branches.some((branch) => isNew(branch.node))) return false
  const least = branches.reduce(
    (sum, { chance, node: next }) => sum + chance * (isNew(next) ? next.lower : next.upper),
    node.base?.cost ?? 0,
  )
  return least < handover
}

function nodeOf(
  problem: Problem,
  search: Search,
  { settled, reach }: Walk,
  node: Node,
  index: ReadonlyMap<Node, NodeIndex>,
  mass: number,
): PlanNode {
  const { figures, chosen, transition, isSequence } = lookUp(settled, node)
  const here = {
    belief: beliefOf(problem, node.state),
    fitted: node.state.job.fitted.map(({ part }) => part as PlaceIndex),
    reach: lookUp(reach, node),
    costToGo: figures.total,
  }
  // A repair sequence that wasn't written out is a plan all the same.
  const handsOver = chosen === undefined && !isSequence
  if (node !== search.root && (handsOver ? mass > 0 && isUnseen(node, problem.handover) : here.reach < mass))
    return { ...here, do: "advise" }
  if (chosen === undefined || transition === undefined) return { ...here, do: "handover" }
  const step = at(problem.steps, chosen.step)
  let next = 0
  return {
    ...here,
    ...actionOf(problem, node.state, chosen.step),
    cost: step.kind === "close" ? node.state.job.closing.cost : step.cost,
    edges: transition.outcomes.map((outcome) => {
      const to = outcome.state === undefined ? undefined : lookUp(index, at(chosen.branches, next++).node)
      return edgeOf(problem, search, node, chosen.step, outcome, to)
    }),
    ...(here.reach >= COMPARED_ABOVE ? { second: secondOf(problem, node, chosen) } : {}),
  }
}

/** A step as the plan names it. */
export function actionOf(
  problem: Problem,
  { job }: State,
  index: number,
): Exclude<Action, { do: "handover" }> {
  const { kind, subject, test } = at(problem.steps, index)
  switch (kind) {
    case "takeOut":
    case "putBack":
    case "keep":
    case "replace":
      return { do: kind, part: subject as PlaceIndex }
    case "fix":
      return { do: "fix", fault: subject as FaultIndex }
    case "look":
      return { do: "look" }
    case "close":
      return { do: "close", proofs: job.proofs as readonly ProofIndex[] }
    default:
      return { do: "test", test: test as TestIndex }
  }
}

function edgeOf(
  problem: Problem,
  search: Search,
  node: Node,
  index: number,
  { label, chance, state, because }: Outcome,
  to: NodeIndex | undefined,
): PlanEdge {
  return {
    on: LABELS.get(label) ?? (search.dynamics.cellsOf(index)[label] as readonly CellIndex[]),
    chance,
    to,
    leaveIn: label === STAYS && at(problem.steps, index).leaveIn,
    rulesOut: state === undefined ? [] : ruledOut(problem, node.state, state),
    because: because as readonly RuleIndex[],
  }
}

/** Faults that could be present before and cannot be after. */
function ruledOut(problem: Problem, before: State, after: State): FaultIndex[] {
  const present = presentIn(problem, after)
  return [...presentIn(problem, before)].filter((fault) => !present.has(fault)).sort((a, b) => a - b)
}

function presentIn({ states }: Problem, { ids }: State): Set<FaultIndex> {
  const present = new Set<FaultIndex>()
  for (const id of ids) {
    for (const fault of [at(states.first, id >> 2), at(states.second, id >> 2)])
      if (fault >= 0) present.add(fault as FaultIndex)
  }
  return present
}

/** The cheapest of what the search tried beside the chosen step. */
function secondOf(problem: Problem, node: Node, chosen: Choice): Alternative {
  const { steps, handover } = problem
  let second: Alternative = { action: { do: "handover" }, costToGo: handover }
  const { kind, test } = at(steps, chosen.step)
  for (const { step, upper, branches } of node.choices) {
    if (step === chosen.step || upper >= second.costToGo) continue
    const other = at(steps, step)
    // A swap is one step whatever follows `stays`.
    if (other.kind === kind && other.test === test && test >= 0) continue
    if (leavesMachine(other) && isBesides(node, chosen, { cost: other.cost, upper, branches })) continue
    second = { action: actionOf(problem, node.state, step), costToGo: upper }
  }
  return second
}

function leavesMachine({ kind, reads }: Step): boolean {
  return reads.length > 0 || kind === "look"
}

/**
 * A reading or a look that changes nothing that follows is no alternative to anything: its cost comes on top. What the
 * search has not looked into far enough may seem to save something all the same.
 */
function isBesides(node: Node, chosen: Choice, other: Pick<Choice, "cost" | "upper" | "branches">): boolean {
  return (
    other.upper - node.upper >= other.cost * (1 - SAVES) ||
    other.branches.every((branch) => branch.node.chosen?.step === chosen.step) ||
    other.branches.every((branch) => isSameBelief(node.state, branch.node.state))
  )
}

function isSameBelief(a: State, b: State): boolean {
  return (
    a.ids.length === b.ids.length &&
    a.ids.every((id, k) => id === b.ids[k] && Math.abs(at(a.weights, k) - at(b.weights, k)) < SAME)
  )
}
