import { evaluate, TRUE } from "./condition.ts"
import { type Branch, type Choice, isSolved, type Node } from "./node.ts"
import type { Alternative, Expected, Plan, PlanEdge, PlanNode } from "./plan.ts"
import type { Problem, Work } from "./problem.ts"
import type { Search } from "./search.ts"
import { GONE, STAYS, type State } from "./state.ts"

/** What a policy costs and does from one state on, in expectation; the fields of `Expected`. */
type Metrics = { -readonly [K in keyof Expected]: number }

/** Steps that fewer jobs come to are not compared with what else could be done there. */
const COMPARED_ABOVE = 0.01

/** Part of its own cost that a look must save by what it tells to count as an alternative. */
const SAVES = 0.05

/** Part of the search's effort that the comparing may take besides. */
const COMPARED_EFFORT = 0.05

/**
 * Writes the best policy of a search down as a plan. `mass`: a branch that a job takes with less chance than this is
 * left to `advise`; what it costs is counted all the same. `mayCompare`: spend some effort on what else could be done.
 */
export function extract(problem: Problem, search: Search, mass: number, mayCompare: boolean): Plan {
  const { root } = search
  // Comparing may find something better, so it comes before anything is written down.
  const first = mayCompare ? walk(problem, root) : undefined
  const enough = search.expanded * (1 + COMPARED_EFFORT) + 1000
  for (const node of first?.order ?? []) {
    const reach = first!.reach.get(node)!
    if (first!.settled.get(node)!.chosen && reach >= COMPARED_ABOVE && search.expanded < enough)
      search.compare(node, reach)
  }
  const { settled, order, reach } = walk(problem, root, mass)
  const written = order.filter((node) => reach.has(node))
  // Where nobody has looked yet, stopping is only for want of a better plan.
  const goesOn = (node: Node) =>
    settled.get(node)!.chosen !== undefined || (!node.followed && !isSolved(node))
  const isAdvised = (node: Node) => node !== root && goesOn(node) && reach.get(node)! < mass
  const index = new Map(written.map((node, i) => [node, i]))
  const nodes = written.map((node): PlanNode => {
    const { metrics, chosen } = settled.get(node)!
    const common = {
      belief: beliefOf(problem, node.state),
      reach: reach.get(node)!,
      costToGo: metrics.total,
    }
    if (isAdvised(node)) return { ...common, do: "advise" }
    if (chosen) {
      const { action, branches } = chosen
      return {
        ...common,
        do: "test",
        test: action % problem.tests,
        putBack: action >= problem.tests,
        edges: branches.map((b) => edgeOf(problem, node, action, b, index.get(b.node)!)),
        ...(reach.get(node)! >= COMPARED_ABOVE ? { second: secondOf(problem, node, action) } : {}),
      }
    }
    if (!node.stop.remedy) return { ...common, do: "handover" }
    return { ...common, do: "verdict", remedy: node.stop.remedy, chance: node.stop.chance }
  })
  const expected = settled.get(root)!.metrics
  const exact = isSolved(root)
  return {
    nodes,
    start: 0,
    expected,
    lower: exact ? expected.total : Math.min(root.lower, expected.total),
    exact,
  }
}

/** The best that the search knows at a node: to do `chosen`, or to stop. */
interface Settled {
  readonly metrics: Metrics
  readonly chosen: Choice | undefined
}

/** The nodes of the best policy, parents before children, with the chance to come to each; below `mass` none is followed. */
function walk(problem: Problem, root: Node, mass = 0) {
  const settled = new Map<Node, Settled>()
  const order: Node[] = []
  settle(problem, root, settled, order)
  order.reverse()
  const reach = new Map<Node, number>([[root, 1]])
  for (const node of order) {
    const chance = reach.get(node)
    if (chance === undefined || (chance < mass && node !== root)) continue
    for (const b of settled.get(node)!.chosen?.branches ?? [])
      reach.set(b.node, (reach.get(b.node) ?? 0) + chance * b.chance)
  }
  return { settled, order, reach }
}

/**
 * Settles a node and all below it, children first into `order`. The search itself is left as it is, so that looking at
 * the plan along the way never changes what comes of going on.
 */
function settle(problem: Problem, node: Node, settled: Map<Node, Settled>, order: Node[]): Metrics {
  const known = settled.get(node)
  if (known) return known.metrics
  const { cost, remedy, chance } = node.stop
  const going =
    node.chosen && metricsOf(problem, node.chosen, (child) => settle(problem, child, settled, order))
  const goes = going !== undefined && going.total < cost
  const metrics: Metrics = goes
    ? going
    : {
        total: cost,
        tests: 0,
        minutes: 0,
        steps: 0,
        wrong: remedy ? 1 - chance : 0,
        handover: remedy ? 0 : 1,
      }
  settled.set(node, { metrics, chosen: goes ? node.chosen : undefined })
  order.push(node)
  return metrics
}

function metricsOf(problem: Problem, choice: Choice, of: (node: Node) => Metrics): Metrics {
  const work = problem.work[choice.action % problem.tests]!
  const sum: Metrics = {
    total: work.cost,
    tests: work.cost,
    minutes: work.minutes,
    steps: 1,
    wrong: 0,
    handover: 0,
  }
  for (const { chance, node } of choice.branches) {
    const below = of(node)
    for (const key of Object.keys(sum) as (keyof Metrics)[]) sum[key] += chance * below[key]
  }
  return sum
}

/** The cheapest of what the search tried beside the chosen action. */
function secondOf(problem: Problem, node: Node, chosen: number): Alternative {
  let second: Alternative = { putBack: false, costToGo: node.stop.cost }
  for (const { action, upper } of node.choices) {
    if (action === chosen || upper >= second.costToGo) continue
    if (onlyAdds(problem.work[action % problem.tests]!, upper - node.upper)) continue
    second = { test: action % problem.tests, putBack: action >= problem.tests, costToGo: upper }
  }
  return second
}

/** A look whose cost comes on top, nothing saved by what it tells, is no alternative to anything. */
function onlyAdds(work: Work, dearer: number): boolean {
  return work.kind === "look" && dearer >= work.cost * (1 - SAVES)
}

function beliefOf(problem: Problem, state: State) {
  const uncured = new Float64Array(problem.faults)
  const cured = new Float64Array(problem.faults)
  state.ids.forEach((h, k) => {
    if (h < problem.faults) uncured[h] = state.weights[k]!
    else cured[h - problem.faults] = state.weights[k]!
  })
  return { uncured, cured }
}

function edgeOf(problem: Problem, node: Node, action: number, branch: Branch, to: number): PlanEdge {
  const liveAfter = new Set(Array.from(branch.node.state.ids, (h) => h % problem.faults))
  const rulesOut = [...new Set(Array.from(node.state.ids, (h) => h % problem.faults))]
    .filter((f) => !liveAfter.has(f))
    .sort((a, b) => a - b)
  if (branch.label === GONE || branch.label === STAYS) {
    return {
      outcome: branch.label === GONE ? "gone" : "stays",
      chance: branch.chance,
      to,
      rulesOut,
      because: [],
    }
  }
  const work = problem.work[action]!
  if (work.kind !== "look") throw new Error("a labelled outcome belongs to a look")
  const outcome = work.outcomes[branch.label]!
  return {
    outcome,
    chance: branch.chance,
    to,
    rulesOut,
    because: actedOn(problem, node.state, work.reads, outcome, rulesOut),
  }
}

/** Rules that come true with these cells and rule out a fault which is gone after them. */
function actedOn(
  problem: Problem,
  state: State,
  reads: readonly number[],
  outcome: readonly number[],
  rulesOut: readonly number[],
): number[] {
  const evidence = state.evidence.slice()
  reads.forEach((r, k) => {
    evidence[r] = outcome[k]!
  })
  const rules = new Set(reads.flatMap((r) => problem.mentions[r]!.rules))
  return [...rules]
    .filter((i) => problem.rules[i]!.out.some((f) => rulesOut.includes(f)))
    .filter((i) => evaluate(problem.rules[i]!.condition, evidence) === TRUE)
    .sort((a, b) => a - b)
}
