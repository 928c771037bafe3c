import type { Model } from "../model/model.ts"
import type { Plan, PlanNode } from "../plan/plan.ts"

/** One step of the plan and why it comes here, in words for a technician. */
export interface Explained {
  /** Node of the plan. */
  readonly node: number
  /** Chance that a job comes through here. */
  readonly reach: number
  readonly test: string
  readonly text: string
}

/** Suspects with less chance than this are not worth a word. */
const WORTH_NAMING = 0.02

/** Steps of a plan in the order of the walk, those that more jobs take first at each fork; `least`: chance to be named. */
export function explain(model: Model, plan: Plan, least = 0.01): Explained[] {
  return plan.nodes
    .map((node, index) => ({ node, index }))
    .filter(({ node }) => node.do === "test" && node.reach >= least)
    .sort((a, b) => b.node.reach - a.node.reach || a.index - b.index)
    .map(({ node, index }) => explainStep(model, plan, node as Step, index))
}

type Step = Extract<PlanNode, { do: "test" }>

function explainStep(model: Model, plan: Plan, node: Step, index: number): Explained {
  const test = model.tests[node.test]!
  const name = node.putBack ? `put back ${model.places[test.part!]!.name}` : test.name
  const text = [
    `${money(model, test.cost)}, ${tidy(test.minutes)} min`,
    separates(model, plan, node),
    instead(model, node),
  ].join("; ")
  return { node: index, reach: node.reach, test: name, text }
}

/** Outcomes and suspects named in one line; the rest is counted. */
const NAMED = 3

/** What comes of the step, in suspects: who is left behind the outcomes that matter most. */
function separates(model: Model, plan: Plan, node: Step): string {
  const edges = node.edges.filter((edge) => edge.chance >= WORTH_NAMING).sort((a, b) => b.chance - a.chance)
  if (edges.length === 0) return "settles what little is open"
  const ways = edges.slice(0, NAMED).map(({ outcome: found, chance, to }) => {
    return `${outcome(model, node.test, found)} (${percent(chance)}) leaves ${left(model, plan.nodes[to]!)}`
  })
  return counted(ways, edges.length, edges.length - NAMED === 1 ? "outcome" : "outcomes")
}

function counted(named: readonly string[], all: number, what: string): string {
  return all > named.length
    ? `${named.join(", ")} and ${all - named.length} more ${what}`.trimEnd()
    : named.join(", ")
}

function outcome(model: Model, test: number, cells: readonly number[] | "gone" | "stays"): string {
  if (typeof cells === "string") return cells
  const { reads } = model.tests[test]!
  return cells
    .map((cell, k) => `${model.readings[reads[k]!]!.name} ${model.readings[reads[k]!]!.cells[cell]!.label}`)
    .join(" and ")
}

function left(model: Model, { belief }: PlanNode): string {
  const suspects = model.faults
    .map((fault, f) => ({ name: fault.name, chance: belief.uncured[f]! + belief.cured[f]! }))
    .filter(({ chance }) => chance >= WORTH_NAMING)
    .sort((a, b) => b.chance - a.chance)
  if (suspects.length === 0) return "no listed fault"
  const named = suspects.slice(0, NAMED - 1).map(({ name, chance }) => `${name} ${percent(chance)}`)
  return counted(named, suspects.length, "")
}

function instead(model: Model, node: Step): string {
  const { second } = node
  if (!second) return "nothing else was tried"
  const dearer = second.costToGo - node.costToGo
  if (second.test === undefined)
    return `no look would save its cost here, and ending here would cost ${money(model, dearer)} more`
  const { name, part } = model.tests[second.test]!
  const what = second.putBack ? `putting ${model.places[part!]!.name} back` : name
  return dearer < 0.005
    ? `${what} would do as well`
    : `${what} instead would cost ${money(model, dearer)} more`
}

function money(model: Model, amount: number): string {
  return `${amount.toFixed(2)} ${model.ruleset.money}`
}

function tidy(n: number): string {
  return String(Math.round(n * 10) / 10)
}

function percent(chance: number): string {
  return `${chance >= 0.0995 ? Math.round(chance * 100) : Math.round(chance * 1000) / 10} %`
}
