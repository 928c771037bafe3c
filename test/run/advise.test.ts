import { expect, test } from "vitest"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { open } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { worthOfAdvice } from "../support/worth.ts"

test("steps taken from the model cost at most 1.05 of the best plan, on models where that is known", () => {
  let [best, advised, count] = [0, 0, 0]
  for (let seed = 1; count < 6; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), tiny))
    const planner = makePlanner(model, { effort: 1000, mass: 0, gap: 0 })
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
  expect(advised / best).toBeLessThanOrEqual(1.05)
})

test("it doesn't hand over while a repair that pays is open, nor stop where something can be done", () => {
  const model = modelOf({
    comeback: 100,
    handover: 200,
    places: [
      { name: "a", kind: "part", price: 20 },
      { name: "b", kind: "part", price: 30 },
    ],
    faults: [
      { name: "bad_a", in: "a", odds: 2 },
      { name: "bad_b", in: "b", odds: 1 },
    ],
    tests: [],
  })
  const job = open(graphOf(model))
  expect(job.next).toMatchObject({ act: { replace: "a" }, by: "model" })
  const second = job.answer("stays")
  expect(second.next).toMatchObject({ act: { replace: "b" } })
  expect(second.outlook).toMatchObject({ cost: 30, parts: 30, handedOver: 0 })
  expect(second.answer("gone").next).toMatchObject({ act: { close: true } })
  // Without the part it is somebody else's: nothing is left that helps.
  expect(second.cannot({ replace: "b" }).next).toMatchObject({ do: "handover", fits: true })
})

test("a repair is not put off because the proof that counts for its sake is yet to come", () => {
  const model = modelOf({
    comeback: 1000,
    handover: 1000,
    places: [{ name: "board", kind: "part", price: 100 }],
    readings: [{ name: "lamp", cells: ["on", "off"] }],
    faults: [{ name: "dead", in: "board", odds: 1 }],
    tests: [
      { name: "see", reads: ["lamp"], minutes: 1 },
      { name: "wiggle", removes: "board", minutes: 2 },
    ],
    proofs: [{ minutes: 30, for: ["board"] }],
  })
  const { next, outlook } = open(graphOf(model))
  expect(next).toMatchObject({ act: { replace: "board" }, by: "model" })
  expect(outlook).toMatchObject({ cost: 130, parts: 100, minutes: 30 })
})
