import fc from "fast-check"
import { expect } from "vitest"
import { checkPlan } from "../../compiler/check/check.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanNode } from "../../compiler/plan/plan.ts"
import { sketches, tiny } from "../support/models.ts"
import { evaluate, policyOfPlan, sameFound } from "../support/policies.ts"
import { type Hypothesis, outcomes, type State, total } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"
import { planFor } from "./text.ts"

/** A walk along all paths of a plan with the plain semantics in hand: a node with the state in which it is come to. */
export interface Stand {
  readonly node: PlanNode
  readonly index: number
  readonly state: State
  /** Chance of a job to come to this node on this path. */
  readonly reach: number
}

/** A fault that is still possible, with its share of the chance and the flag that has most of it. */
export interface Cause {
  readonly fault: number
  readonly share: number
  readonly likeliest: Hypothesis
}

export const anySketch = sketches({ ...tiny, tests: 4 })

/** What a finding names, in order. */
export const named = ({ message }: Diagnostic): string[] =>
  [...message.matchAll(/`(\w+)`/g)].map((match) => match[1]!)

export const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)

/** Findings of one code for random models, with all paths of their plans. */
export function always(
  code: string,
  property: (diagnostics: readonly Diagnostic[], model: Model, plan: Plan, stands: readonly Stand[]) => void,
  drawn = anySketch,
): void {
  fc.assert(
    fc.property(drawn, (sketch) => {
      const model = modelOf(sketch)
      // No branch is left to the runner, so that every path can be walked to its end.
      const plan = planFor(model, { mass: 0 })
      expect(plan.exact).toBe(true)
      const stands: Stand[] = []
      evaluate(model, policyOfPlan(plan), (index, state, reach) =>
        stands.push({ node: plan.nodes[index]!, index, state, reach }),
      )
      property(
        checkPlan(model, plan).filter((each) => each.code === code),
        model,
        plan,
        stands,
      )
    }),
    { numRuns: 300, seed: 11 },
  )
}

export const alive = ({ hypotheses }: State): Hypothesis[] => hypotheses.filter(({ weight }) => weight > 0)

export function causesIn(state: State): Cause[] {
  const faults = [...new Set(alive(state).map(({ fault }) => fault))]
  return faults.map((fault) => {
    const own = alive(state).filter((each) => each.fault === fault)
    const likeliest = own.reduce((a, b) => (b.weight > a.weight ? b : a))
    return { fault, share: total(own) / total(state.hypotheses), likeliest }
  })
}

/** Where the plan goes from here, for each thing that can be found. */
export function after(
  model: Model,
  plan: Plan,
  { node, state, reach }: Stand,
  wanted: (found: readonly number[] | "gone" | "stays") => boolean = () => true,
): Stand[] {
  if (node.do !== "test") return []
  return outcomes(model, state, node)
    .filter(({ found }) => wanted(found))
    .map((each) => {
      const { to } = node.edges.find(({ outcome }) => sameFound(outcome, each.found))!
      return { node: plan.nodes[to]!, index: to, state: each.state, reach: reach * each.chance }
    })
}

export function endsOf(model: Model, plan: Plan, stand: Stand): Stand[] {
  return stand.node.do === "test"
    ? after(model, plan, stand).flatMap((next) => endsOf(model, plan, next))
    : [stand]
}
