import { expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import { beliefOf } from "../../compiler/plan/belief.ts"
import { actionOf } from "../../compiler/plan/extract.ts"
import { DONE, FAILS, GONE, HOLDS, STAYS } from "../../compiler/plan/job.ts"
import { meansOf } from "../../compiler/plan/means.ts"
import { makeProblem, type Problem } from "../../compiler/plan/problem.ts"
import type { State } from "../../compiler/plan/state.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { sameAction } from "../support/policies.ts"
import * as reference from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

const labels = new Map<number, reference.Found>([
  [GONE, "gone"],
  [STAYS, "stays"],
  [DONE, "done"],
  [HOLDS, "holds"],
  [FAILS, "fails"],
])

const WALKS = 4
const STEPS = 5
/** States after which the best total from one state is left alone: most of what is left of a walk is small. */
const MOST = 100

/** Walks a drawn model at random through the planner's dynamics and the reference side by side. */
function walk(
  seed: number,
  model: Model,
  problem: Problem,
  visit: (here: { state: State; there: reference.State; bound: number }) => void,
): void {
  const { dynamics, bounds } = meansOf(problem)
  const draw = seeded(seed + 1_000_000)
  for (let w = 0; w < WALKS; w++) {
    let state = dynamics.start()
    let there = reference.start(model)
    for (let i = 0; i < STEPS; i++) {
      visit({ state, there, bound: bounds.thorough(state) })
      expect(bounds.of(state), `seed ${seed}`).toBeLessThanOrEqual(bounds.thorough(state) + 1e-12)
      const steps = state.job.steps.filter((step) => dynamics.after(state, step).outcomes.length > 0)
      if (steps.length === 0) break
      const step = steps[draw.int(0, steps.length - 1)]!
      const action = { ...actionOf(problem, state, step), leaveIn: problem.steps[step]!.leaveIn }
      expect(
        reference.actions(model, there).some((each) => sameAction(each, action)),
        `seed ${seed}: ${JSON.stringify(action)}`,
      ).toBe(true)
      const { outcomes } = dynamics.after(state, step)
      const going = outcomes.filter((each) => each.state !== undefined)
      if (going.length === 0) break
      const { label, state: next, chance } = going[draw.int(0, going.length - 1)]!
      const on = labels.get(label) ?? dynamics.cellsOf(step)[label]!
      const found = reference.outcomes(model, there, action).find((each) => `${each.on}` === `${on}`)!
      expect(found.chance, `seed ${seed}`).toBeCloseTo(chance, 9)
      state = next!
      there = found.state
    }
  }
}

test("random walks through the planner's states are those of the reference, and no bound is above the best", () => {
  let compared = 0
  let tight = 0
  for (let seed = 1; seed <= 60; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), tiny))
    const problem = makeProblem(model)
    walk(seed, model, problem, ({ state, there, bound }) => {
      const given = beliefOf(problem, state)
      const wanted = reference.belief(model, there)
      given.active.forEach((chance, f) => {
        expect(chance, `seed ${seed}`).toBeCloseTo(wanted.active[f]!, 9)
      })
      try {
        const best = reference.best(model, there, MOST)
        expect(bound, `seed ${seed}`).toBeLessThanOrEqual(best + 1e-9)
        compared++
        if (bound > 0.8 * best) tight++
      } catch (error) {
        if (!(error instanceof reference.TooLarge)) throw error
      }
    })
  }
  expect(compared).toBeGreaterThan(500)
  expect(tight).toBeGreaterThan(compared / 4)
}, 120_000)

test("a proof run reads once what two proofs expect", () => {
  const model = modelOf({
    handover: 12,
    places: [{ name: "a", kind: "setup" }],
    faults: [{ name: "in_a", in: "a", odds: 1 }],
    readings: [{ name: "r", cells: ["good", "bad"], healthy: [0.5, 0.5] }],
    tests: [{ name: "redo_a", redoes: ["a"], minutes: 1 }],
    proofs: [
      { minutes: 1, expects: ["r", [0]] },
      { minutes: 1, expects: ["r", [0]] },
    ],
  })
  const { dynamics, bounds } = meansOf(makeProblem(model))
  const bound = bounds.of(dynamics.start())
  expect(bound).toBeLessThanOrEqual(reference.best(model))
  // Redone once, and run until it holds.
  expect(bound).toBeCloseTo(1 + 2 / 0.5, 12)
})

test("what has to be done until a step may be is counted once, and of a choice the cheapest", () => {
  const look = (name: string, minutes: number) => ({ name: `look_${name}`, reads: [name], minutes })
  const part = (name: string) => ({ name, kind: "part" as const, price: 50, fit: { minutes: 40 } })
  const model = modelOf({
    handover: 100,
    places: [part("p"), part("q")],
    faults: [
      { name: "in_p", in: "p", odds: 1 },
      { name: "in_q", in: "q", odds: 1 },
    ],
    readings: ["r", "s", "t"].map((name) => ({ name, cells: ["good", "bad"], healthy: [0.5, 0.5] })),
    tests: [
      look("r", 4),
      look("s", 8),
      look("t", 16),
      { name: "try_p", swaps: "p", minutes: 1, after: ["look_t"], afterAny: ["look_r", "look_s"] },
      { name: "try_q", swaps: "q", minutes: 2, after: ["try_p"] },
    ],
  })
  const { dynamics, bounds } = meansOf(makeProblem(model))
  const start = dynamics.start()
  // Of `p`: 16 + 4 + 1 and its price; of `q` all that work, and 2.
  expect(bounds.of(start)).toBeCloseTo((71 + 73) / 2, 12)
  const index = dynamics.problem.steps.findIndex(({ test }) => model.tests[test]?.name === "look_t")
  expect(bounds.of(dynamics.after(start, index).outcomes[0]!.state!)).toBeCloseTo((55 + 57) / 2, 12)
})
