import fc from "fast-check"
import { checkPlan } from "../../compiler/check/check.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanNode } from "../../compiler/plan/plan.ts"
import { sketches, tiny } from "../support/models.ts"
import { evaluate, sameFound } from "../support/policies.ts"
import { type Found, outcomes, type State } from "../support/reference.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"
import { planFor } from "./text.ts"

/** A walk along all paths of a plan with the plain semantics in hand: a node with the state in which it is come to. */
export interface Stand {
  readonly node: PlanNode
  readonly index: number
  readonly state: State
  /** Chance of a job to come to this node in this state. */
  readonly reach: number
}

/** A fault that is still possible, with its share of the chance, and whether it is mostly cured. */
export interface Cause {
  readonly fault: number
  readonly share: number
  readonly cured: boolean
}

export const anySketch = sketches(tiny)

/** What a message names, in order. */
export const named = ({ message }: Diagnostic): string[] =>
  [...message.matchAll(/`(\w+)`/g)].map((match) => match[1]!)

export const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)

/** Diagnostics of one code for random models, with all paths of their plans; proved best or not, they are walked. */
export function always(
  code: string,
  property: (diagnostics: readonly Diagnostic[], model: Model, plan: Plan, stands: readonly Stand[]) => void,
  drawn: fc.Arbitrary<Sketch> = anySketch,
  numRuns = 150,
): void {
  fc.assert(
    fc.property(drawn, (sketch) => {
      const model = modelOf(sketch)
      const plan = planFor(model, { effort: 150, mass: 0 })
      if (plan.nodes.some((node) => node.do === "advise")) return
      const stands: Stand[] = []
      evaluate(model, plan, (index, state, reach) =>
        stands.push({ node: plan.nodes[index]!, index, state, reach }),
      )
      property(
        checkPlan(model, plan, { limit: 1000 }).filter((each) => each.code === code),
        model,
        plan,
        stands,
      )
    }),
    { numRuns, seed: 11 },
  )
}

export function causesIn({ hypotheses }: State): Cause[] {
  const faults = [...new Set(hypotheses.flatMap((each) => each.faults))]
  return faults.map((fault) => {
    const own = hypotheses.filter((each) => each.faults.includes(fault))
    const share = sum(own.map(({ weight }) => weight))
    const cured = sum(own.map(({ cured: list, weight }) => (list.includes(fault) ? weight : 0)))
    return { fault, share, cured: cured > share - cured }
  })
}

/** Where the plan goes from here, for each thing that can be found. */
export function after(
  model: Model,
  plan: Plan,
  { node, state, reach }: Stand,
  wanted: (found: Found) => boolean = () => true,
): Stand[] {
  if (!("edges" in node)) return []
  const leaveIn = node.edges.some((edge) => edge.on === "stays" && edge.leaveIn)
  return outcomes(model, state, { ...node, leaveIn })
    .filter(({ on }) => wanted(on))
    .flatMap((each) => {
      const to = node.edges.find(({ on }) => sameFound(on, each.on))?.to
      return to === undefined
        ? []
        : [{ node: plan.nodes[to]!, index: to, state: each.state, reach: reach * each.chance }]
    })
}

/** The first nodes on every path at which the plan repairs, closes or hands over. */
export function commitmentsOf(model: Model, plan: Plan, stand: Stand): Stand[] {
  const commits = ["keep", "replace", "fix", "close", "handover"].includes(stand.node.do)
  return commits ? [stand] : after(model, plan, stand).flatMap((next) => commitmentsOf(model, plan, next))
}
