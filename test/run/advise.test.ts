import { expect, test } from "vitest"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { open } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { worthOfAdvice } from "../support/worth.ts"

// The bench of advice takes 300 models.
test("steps taken from the model end, and cost at most 1.05 of the best plan on models where that is known", () => {
  const ratios: number[] = []
  for (let seed = 1; ratios.length < 12; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), tiny))
    const planner = makePlanner(model, { effort: 1000, mass: 0, gap: 0 })
    planner.advance(Number.POSITIVE_INFINITY)
    const { exact, expected } = planner.plan()
    if (!exact) continue
    const { total, longest } = worthOfAdvice(graphOf(model))
    // Every walk ends, soon after each fault has been repaired: at most so many tests and parts lie between two repairs.
    const { faults, tests, places } = model
    expect(longest, `seed ${seed}`).toBeLessThanOrEqual(
      2 * (faults.length + 1) * (tests.length + places.length),
    )
    // What is proved to be best cannot be bettered: the two must mean the same by cost.
    expect(total, `seed ${seed}`).toBeGreaterThan(expected.total - 1e-6)
    ratios.push(total / expected.total)
  }
  expect(ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length).toBeLessThanOrEqual(1.05)
}, 60_000)

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

test("what tells nothing is not read to put off a repair that takes more than its estimate", () => {
  const model = modelOf({
    comeback: 200,
    handover: 300,
    complaint: { minutes: 5 },
    places: [
      { name: "lead", kind: "part", price: 60 },
      { name: "plug", kind: "setup" },
    ],
    // Nothing can be learnt of either from the lamp.
    readings: [{ name: "lamp", cells: ["on", "off"], healthy: [0.7, 0.3] }],
    faults: [
      { name: "broken", in: "lead", odds: 1 },
      { name: "loose", in: "plug", odds: 1 },
    ],
    tests: [
      { name: "see", reads: ["lamp"], minutes: 0.5 },
      { name: "try", swaps: ["lead"], redoes: ["plug"], minutes: 2 },
    ],
    proofs: [{ minutes: 10 }],
  })
  const job = open(graphOf(model)).find({ test: "try" }, "gone")
  expect(job.next).toMatchObject({ act: { putBack: "lead" }, by: "model" })
})

test("where parts were taken out and it's gone, looking once more comes before closing, not handing over", () => {
  const model = modelOf({
    comeback: 150,
    handover: 130,
    places: [
      { name: "card", kind: "part", price: 220 },
      { name: "slot", kind: "setup", of: "card", cures: 1 },
    ],
    faults: [{ name: "loose", in: "slot", odds: 1 }],
    tests: [{ name: "without_card", removes: ["card"], minutes: 4 }],
    proofs: [{ minutes: 13 }],
  })
  let job = open(graphOf(model))
  for (const act of [{ test: "without_card" }, { look: true }]) {
    expect(job.next).toMatchObject({ act, by: "model" })
    job = job.answer("gone")
  }
  expect(job.next).toMatchObject({ act: { close: true } })
})

test("where no run can hold it is handed over, and nothing is done that changes nothing", () => {
  const model = modelOf({
    comeback: 70,
    handover: 420,
    trust: 0.9,
    unlisted: 0.02,
    places: [
      { name: "motor", kind: "part", price: 40 },
      { name: "lever", kind: "part", price: 30 },
      { name: "plug", kind: "setup" },
    ],
    readings: [{ name: "level", cells: ["some", "none"], healthy: [0.9, 0.1] }],
    faults: [
      { name: "dead", in: "motor", odds: 6 },
      { name: "stuck", in: "lever", odds: 1, recurs: 0.5 },
      { name: "wet", in: "plug", odds: 1, recurs: 0.5 },
    ],
    tests: [
      { name: "see", reads: ["level"], minutes: 1 },
      { name: "try_motor", swaps: ["motor"], minutes: 3 },
      { name: "try_lever", swaps: ["lever"], minutes: 2 },
      { name: "dry", redoes: ["plug"], minutes: 1 },
    ],
    proofs: [{ minutes: 5, expects: ["level", [0]] }],
  })
  // No fault speaks of the level, so it stays what it was read to be.
  const read = open(graphOf(model)).find({ test: "see" }, "none")
  expect(read.next).toMatchObject({ do: "handover", fits: true })
  const repaired = read.find({ replace: "motor" }, "gone")
  expect(repaired.next).toMatchObject({ do: "handover", fits: true })
  expect(repaired.outlook.cost).toBe(420)
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
