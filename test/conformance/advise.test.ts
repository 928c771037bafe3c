import { expect, test } from "vitest"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { graphOf } from "../support/graphs.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { worthOfAdvice } from "../support/worth.ts"

test("steps taken from the model cost at most 1.05 of the best plan, on models where that is known", () => {
  let [best, advised, count] = [0, 0, 0]
  for (let seed = 1; count < 25; seed++) {
    const size = { ...tiny, parts: 3, setups: 3, faults: 6, readings: 3, tests: 6, exactly: true }
    const model = modelOf(sketchFrom(seeded(seed), size))
    const planner = makePlanner(model, { effort: 20_000, mass: 0, gap: 0 })
    planner.advance(Number.POSITIVE_INFINITY)
    const { exact, expected } = planner.plan()
    if (!exact) continue
    count++
    const { total } = worthOfAdvice(graphOf(model))
    // What is proved to be best cannot be bettered: the two must mean the same by cost.
    expect(total, `seed ${seed}`).toBeGreaterThan(expected.total - 1e-6)
    best += expected.total
    advised += total
  }
  console.info(`advice ${advised.toFixed(2)}, best ${best.toFixed(2)}: ratio ${(advised / best).toFixed(4)}`)
  expect(advised / best).toBeLessThanOrEqual(1.05)
})
