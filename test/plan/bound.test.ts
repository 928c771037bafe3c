import { expect, test } from "vitest"
import { makeBound } from "../../compiler/plan/bound.ts"
import { makeCanonical } from "../../compiler/plan/canonical.ts"
import type { Node } from "../../compiler/plan/node.ts"
import { makeProblem } from "../../compiler/plan/problem.ts"
import { actionsOf, costOf, outcomes, type State, startState } from "../../compiler/plan/state.ts"
import { stop } from "../../compiler/plan/stop.ts"
import { Table } from "../../compiler/plan/table.ts"
import { makeScratch } from "../../compiler/plan/weigh.ts"
import { machineFrom } from "../support/machines.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf, type Sketch, type SketchCondition } from "../support/sketch.ts"

/** Some more of all than for trying every policy: told questions among them, and faults that come and go. */
const small = { ...tiny, faults: 5, readings: 3, told: 2, tests: 4, rules: 3 }
const machine = { faults: 6, tests: 6 }

/** The same with rules that want several findings in all ways, one inside the other. */
function nested(sketch: Sketch): Sketch {
  const { rules = [] } = sketch
  const when = (i: number) => rules[i % rules.length]!.when
  const ways: ((i: number) => SketchCondition)[] = [
    (i) => ["or", ["and", when(i), when(i + 1)], when(i + 2)],
    (i) => ["and", ["or", when(i), ["not", when(i + 1)]], when(i + 2)],
    (i) => ["not", ["and", when(i), ["or", when(i + 1), when(i + 2)]]],
  ]
  return { ...sketch, rules: rules.map((rule, i) => ({ ...rule, when: ways[i % 3]!(i) })) }
}

/** The least total where an action comes first, and what the bound says of it. */
interface First {
  readonly least: number
  readonly bound: number
}

/** Visits every state that any policy can come to, with the least total from it: no bound, nothing left out. */
function everyState(sketch: Sketch, visit: (node: Node, best: number, byFirst: First[]) => void) {
  const problem = makeProblem(modelOf(sketch))
  const canonical = makeCanonical(problem)
  const scratch = makeScratch(problem)
  const bound = makeBound(problem)
  const table = new Table(problem)
  const known = new Map<Node, number>()
  const value = (state: State): number => {
    const node = table.intern(canonical(state), bound.of)
    const before = known.get(node)
    if (before !== undefined) return before
    let best = stop(problem, node.state).cost
    const byFirst: First[] = []
    const actions = node.state.ids.length > 0 ? actionsOf(problem, node.state) : []
    const bounds = bound.byFirst(node.state)
    for (const [i, action] of actions.entries()) {
      const found = outcomes(problem, node.state, action, scratch)
      if (found.length === 0) continue
      let sum = costOf(problem, action)
      for (const each of found) sum += each.chance * value(each.state)
      byFirst.push({ least: sum, bound: bounds[i]! })
      best = Math.min(best, sum)
    }
    known.set(node, best)
    visit(node, best, byFirst)
    return best
  }
  value(startState(problem))
}

test.each([
  { name: "rulesets of any kind", draw: (seed: number) => sketchFrom(seeded(seed), small), models: 300 },
  {
    name: "rulesets with rules in rules",
    draw: (seed: number) => nested(sketchFrom(seeded(seed), small)),
    models: 150,
  },
  { name: "machines", draw: (seed: number) => machineFrom(seeded(seed), machine), models: 60 },
])(
  "the lower bound is never above the least total, in no state of $name, whatever comes first",
  ({ draw, models }) => {
    let [states, handedOver, tested, ruledOut] = [0, 0, 0, 0]
    for (let seed = 1; seed <= models; seed++) {
      everyState(draw(seed), (node, best, byFirst) => {
        states++
        if (best < node.stop.cost - 1e-9) tested++
        else if (!node.stop.remedy) handedOver++
        if (node.lower > best + 1e-9) expect(node.lower, `seed ${seed}`).toBeLessThanOrEqual(best)
        for (const { least, bound } of byFirst) {
          if (bound > least + 1e-9) expect(bound, `first step, seed ${seed}`).toBeLessThanOrEqual(least)
          if (bound > best + 1e-9) ruledOut++
        }
      })
    }
    expect(states).toBeGreaterThan(5_000)
    expect(tested).toBeGreaterThan(1_000)
    expect(handedOver).toBeGreaterThan(300)
    // First steps that need not be looked into.
    expect(ruledOut).toBeGreaterThan(1_000)
  },
)
