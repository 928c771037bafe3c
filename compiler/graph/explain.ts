import type { Model } from "../model/model.ts"
import type { Plan, PlanEdge, PlanNode, PlanStep } from "../plan/plan.ts"
import type { NodeIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { fixedMoney, roughPercent } from "../wording/figures.ts"
import { actionName } from "./action-name.ts"

/** One step of the plan and why it comes here, in words for a technician. */
export interface Explained {
  /** Node of the plan. */
  readonly node: NodeIndex
  /** Chance that a job comes through here. */
  readonly reach: number
  /** What is done, by the names of the ruleset: `meter_rail`, `put back panel`, `close`. */
  readonly step: string
  /** What is found on the likeliest way here, at the step before; empty at the first step and where nothing is found. */
  readonly after: string
  /** Forks on that way. */
  readonly depth: number
  readonly text: string
}

/** Suspects with less chance than this are not worth a word. */
const WORTH_NAMING = 0.02

/**
 * Steps of a plan in the order of the walk, those that more jobs take first at each fork; `least`: chance to be named. A
 * step with several ways to it stands after the first that is walked.
 */
export function explain(model: Model, plan: Plan, least = 0.01): Explained[] {
  const steps: Explained[] = []
  const seen = new Set<NodeIndex>()
  const ahead: Way[] = [{ index: plan.start, after: "", depth: 0 }]
  for (let way = ahead.pop(); way !== undefined; way = ahead.pop()) {
    const { index, after, depth } = way
    const node = at(plan.nodes, index)
    if (seen.has(index) || !isStep(node) || node.reach < least) continue
    seen.add(index)
    const { reach } = node
    const text = [
      fixedMoney(node.cost, model.ruleset.money),
      ...separates(model, plan, node),
      instead(model, node),
    ].join("; ")
    steps.push({ node: index, reach, step: actionName(model, node), after, depth, text })
    ahead.push(...waysFrom(model, node, depth))
  }
  return steps
}

interface Way {
  readonly index: NodeIndex
  readonly after: string
  readonly depth: number
}

/** The likeliest last, as the last is walked first. */
function waysFrom(model: Model, node: Step, depth: number): Way[] {
  const onward = node.edges
    .flatMap((edge) => (edge.to === undefined ? [] : [{ edge, to: edge.to }]))
    .sort((a, b) => a.edge.chance - b.edge.chance)
  const forks = onward.length > 1 ? 1 : 0
  return onward.map(({ edge, to }) => ({
    index: to,
    after: edge.on === "done" ? "" : outcome(model, node, edge),
    depth: depth + forks,
  }))
}

type Step = PlanNode & PlanStep

function isStep(node: PlanNode): node is Step {
  return node.do !== "handover" && node.do !== "advise"
}

/** Outcomes and suspects named in one line; the rest is counted. */
const NAMED = 3

/** What comes of the step, in suspects: who is left after the outcomes that matter most. */
function separates(model: Model, plan: Plan, node: Step): string[] {
  const edges = node.edges.filter((edge) => edge.chance >= WORTH_NAMING).sort((a, b) => b.chance - a.chance)
  if (edges.length === 1 && at(edges, 0).on === "done") return []
  const ways = edges
    .slice(0, NAMED)
    .map((edge) => `${outcome(model, node, edge)} (${roughPercent(edge.chance)}) ${leads(model, plan, edge)}`)
  return [counted(ways, edges.length, edges.length - NAMED === 1 ? "outcome" : "outcomes")]
}

function leads(model: Model, plan: Plan, { to }: PlanEdge): string {
  return to === undefined ? "ends the job" : `leaves ${left(model, at(plan.nodes, to))}`
}

function counted(named: readonly string[], all: number, what: string): string {
  return all > named.length
    ? `${named.join(", ")} and ${all - named.length} more ${what}`.trimEnd()
    : named.join(", ")
}

function outcome(model: Model, step: Step, { on, leaveIn }: PlanEdge): string {
  if (typeof on === "string") return leaveIn ? `${on}, left in` : on
  const reads = step.do === "test" ? at(model.tests, step.test).reads : []
  return on
    .map((cell, k) => {
      const reading = at(model.readings, at(reads, k))
      return `${reading.name} ${at(reading.cells, cell).label}`
    })
    .join(" and ")
}

function left(model: Model, { belief }: PlanNode): string {
  const suspects = [
    ...model.faults.map(({ name }, f) => ({ name, chance: at(belief.active, f) })),
    { name: "something not listed", chance: belief.unlisted },
  ]
    .filter(({ chance }) => chance >= WORTH_NAMING)
    .sort((a, b) => b.chance - a.chance)
  if (suspects.length === 0) return "nothing wrong"
  const likeliest = suspects.slice(0, NAMED - 1).map(({ name, chance }) => `${name} ${roughPercent(chance)}`)
  return counted(likeliest, suspects.length, "")
}

function instead(model: Model, node: Step): string {
  const { second } = node
  if (!second) return "nothing else was tried"
  const dearer = second.costToGo - node.costToGo
  const what = actionName(model, second.action)
  return dearer < 0.005
    ? `${what} would do as well`
    : `${what} instead would cost ${fixedMoney(dearer, model.ruleset.money)} more`
}
