import type { Model } from "../../compiler/model/model.ts"
import type { Expected } from "../../compiler/plan/plan.ts"
import type { GraphAction } from "../../compiler/run/graph.ts"
import type { Plain } from "./plain.ts"
import { actions } from "./reference/actions.ts"
import {
  type Action,
  activeChance,
  canonical,
  type Found,
  type State,
  start,
  sum,
} from "./reference/beliefs.ts"
import { atBench, charge, lookMinutes } from "./reference/costs.ts"
import { perform } from "./reference/outcomes.ts"

/** What a plan and a graph have in common; both can be given as they are. */
export interface Policy {
  readonly start: number
  readonly nodes: readonly PolicyNode[]
}

export type PolicyNode =
  | (Plain<GraphAction> & { readonly edges: readonly PolicyEdge[] })
  | { readonly do: "handover" }
  | { readonly do: "advise" }

export interface PolicyEdge {
  readonly on: Found
  /** Held against the reference where it is said. */
  readonly chance?: number
  readonly to?: number | undefined
  readonly leaveIn?: boolean
}

export type Figures = Omit<Expected, "unavoidable">

export const nothingSpent: Figures = {
  total: 0,
  tests: 0,
  parts: 0,
  repairs: 0,
  proof: 0,
  comebacks: 0,
  handover: 0,
  waiting: 0,
  minutes: 0,
  steps: 0,
  comesBack: 0,
  handedOver: 0,
  wasted: 0,
  struck: 0,
  forbidden: 0,
}

type Changing = { -readonly [key in keyof Figures]: number }
type Visit = (node: number, state: State, reach: number) => void

/**
 * Walks every path of a policy through the reference and adds up what it meets. `visit` sees each node with the state
 * in which the reference stands there and the chance to be there in that state. Throws where the policy does what may
 * not be done, has no edge for what can happen, says a wrong chance, or leaves a branch to the runner.
 */
export function evaluate(model: Model, policy: Policy, visit: Visit = () => {}): Figures {
  const figures: Changing = { ...nothingSpent }
  const arrived = policy.nodes.map(() => new Map<string, { state: State; reach: number }>())
  const textOf = canonical(model)
  const arrive = (node: number, state: State, reach: number) => {
    const here = arrived[node]
    if (here === undefined) throw new Error(`node ${node} does not exist`)
    const key = textOf(state)
    here.set(key, { state, reach: reach + (here.get(key)?.reach ?? 0) })
  }
  arrive(policy.start, start(model), 1)
  for (const index of fromTheStart(policy)) {
    for (const { state, reach } of arrived[index]!.values()) {
      visit(index, state, reach)
      walk(model, policy, index, state, reach, figures, arrive)
    }
  }
  const { tests, parts, repairs, proof, comebacks, handover, waiting } = figures
  return { ...figures, total: tests + parts + repairs + proof + comebacks + handover + waiting }
}

function walk(
  model: Model,
  policy: Policy,
  index: number,
  state: State,
  reach: number,
  figures: Changing,
  arrive: Visit,
): void {
  const node = policy.nodes[index]!
  if (node.do === "advise") throw new Error(`node ${index} is left to the runner`)
  if (!actions(model, state).some((each) => sameAction(each, node))) {
    throw new Error(`node ${index} does what may not be done: ${JSON.stringify(node)}`)
  }
  figures.steps += reach
  for (const [key, value] of Object.entries(charge(model, state, node))) {
    figures[key as keyof Figures] += reach * value
  }
  if (node.do === "handover") {
    figures.handedOver += reach
    return
  }
  if (node.do === "keep" || node.do === "replace") {
    figures.wasted += reach * model.places[node.part]!.price * soundChance(model, state, node.part)
  }
  const leaveIn = node.edges.some((edge) => edge.on === "stays" && edge.leaveIn === true)
  const { outcomes, struck, forbidden } = perform(model, state, { ...node, leaveIn })
  figures.struck += reach * struck
  figures.forbidden += reach * forbidden
  for (const { on, chance, tries, state: next } of outcomes) {
    const edge = node.edges.find((each) => sameFound(each.on, on))
    if (!edge) throw new Error(`node ${index} has no edge for ${on}`)
    if (edge.chance !== undefined && Math.abs(edge.chance - chance) > 1e-9) {
      throw new Error(`node ${index}: ${on} has chance ${chance}, not ${edge.chance}`)
    }
    const minutes = lookMinutes(model, tries) * reach * chance
    figures[isRepair(node.do) ? "repairs" : "tests"] += atBench(model, minutes)
    figures.minutes += minutes
    if (on === "holds") {
      figures.comesBack += reach * chance * activeChance(model, next)
      figures.comebacks += reach * chance * activeChance(model, next) * model.ruleset.comeback
    } else if (edge.to === undefined) throw new Error(`node ${index}: ${on} leads nowhere`)
    else arrive(edge.to, next, reach * chance)
  }
}

const isRepair = (what: string) => what === "replace" || what === "fix"

/** Chance that no fault of the state lies in this part, cured or not. */
function soundChance(model: Model, { hypotheses }: State, part: number): number {
  return sum(
    hypotheses
      .filter(({ faults }) => faults.every((fault) => model.faults[fault]!.place !== part))
      .map((each) => each.weight),
  )
}

export function sameAction(a: Action, b: Action): boolean {
  const indexes = ({ do: _, ...rest }: Record<string, unknown>) =>
    JSON.stringify([rest.test, rest.part, rest.fault, rest.proofs])
  return a.do === b.do && indexes({ ...a }) === indexes({ ...b })
}

export function sameFound(a: Found, b: Found): boolean {
  return typeof a === typeof b && `${a}` === `${b}`
}

/** Nodes that can be reached, each before those that it leads to. */
function fromTheStart({ nodes, start: first }: Policy): number[] {
  const order: number[] = []
  const seen = new Set<number>()
  const visit = (index: number) => {
    if (seen.has(index)) return
    seen.add(index)
    const node = nodes[index]
    if (node && "edges" in node) for (const { to } of node.edges) if (to !== undefined) visit(to)
    order.push(index)
  }
  visit(first)
  return order.reverse()
}
