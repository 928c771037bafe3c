import { describe, expect, test } from "vitest"
import { open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"

const begin = (sketch: Sketch) => open(graphOf(modelOf(sketch)))

/** Expected total when every step is taken from the model: over all outcomes, by the steps' own chances and costs. */
function expectedTotal(
  session: Session,
  comeback: number,
  handover: number,
  price: (place: number) => number,
): number {
  const { next } = session
  if (next.do === "handover") return handover
  if (next.do === "verdict") {
    const wasted = next.remedy.kind === "replace" ? price(next.remedy.place!) : 0
    return (1 - next.chance) * (wasted + comeback)
  }
  return next.outcomes.reduce(
    (sum, { found, chance }) =>
      sum + chance * expectedTotal(session.find(next.putBack ?? next.name, found), comeback, handover, price),
    next.cost,
  )
}

// The examples that the page on semantics works by hand.
describe("worked by hand", () => {
  const setups: Sketch = {
    bench: 60,
    comeback: 1000,
    handover: 1000,
    places: [
      { name: "a", kind: "setup" },
      { name: "b", kind: "setup" },
    ],
    faults: [
      { name: "in_a", in: "a", odds: 3 },
      { name: "in_b", in: "b", odds: 1 },
    ],
    tests: [
      { name: "redo_a", redoes: ["a"], minutes: 6 },
      { name: "redo_b", redoes: ["b"], minutes: 1 },
    ],
  }

  test("the cheap try first, then the other one needs none: 1", () => {
    const job = begin(setups)
    expect(job.next).toMatchObject({ do: "test", name: "redo_b", by: "model" })
    expect(job.answer("stays").next).toMatchObject({
      do: "verdict",
      remedy: { kind: "redo", place: 0 },
      chance: 1,
    })
    expect(expectedTotal(job, 1000, 1000, () => 0)).toBeCloseTo(1, 9)
  })

  const seat = (reseat: boolean): Sketch => ({
    bench: 60,
    comeback: 50,
    handover: 1000,
    places: [
      { name: "p", kind: "part", price: 100 },
      { name: "s", kind: "setup", of: "p" },
    ],
    faults: [
      { name: "bad_p", in: "p", odds: 1 },
      { name: "bad_s", in: "s", odds: 1 },
    ],
    tests: [
      { name: "try_p", swaps: "p", minutes: 10 },
      ...(reseat ? [{ name: "reseat_s", redoes: ["s"], minutes: 2 }] : []),
    ],
  })

  test("a seat that can be redone alone: 2", () => {
    const job = begin(seat(true))
    expect(job.next).toMatchObject({ do: "test", name: "reseat_s" })
    expect(job.answer("gone").next).toMatchObject({ do: "verdict", remedy: { kind: "done" }, chance: 1 })
    expect(job.answer("stays").next).toMatchObject({ do: "verdict", remedy: { kind: "replace", place: 0 } })
    expect(expectedTotal(job, 50, 1000, () => 100)).toBeCloseTo(2, 9)
  })

  test("a seat that is only redone on the way to its part: try, put back, 20", () => {
    const job = begin(seat(false))
    expect(job.next).toMatchObject({ do: "test", name: "try_p", outcomes: [{ found: "gone", chance: 1 }] })
    const fitted = job.answer("gone")
    expect(fitted.next).toMatchObject({ do: "test", putBack: "p" })
    expect(fitted.standing.doubt?.explanations).toMatchObject([
      { name: "s", chance: 0.5 },
      { name: "p", chance: 0.5 },
    ])
    expect(expectedTotal(job, 50, 1000, () => 100)).toBeCloseTo(20, 9)
    const back = fitted.answer("gone")
    expect(back.next).toMatchObject({ do: "verdict", remedy: { kind: "done" }, chance: 1 })
    expect(back.standing.doubt).toBeUndefined()
    expect(fitted.answer("stays").next).toMatchObject({
      do: "verdict",
      remedy: { kind: "replace", place: 0 },
    })
  })
})

describe("posteriors in print", () => {
  const screened = (prevalence: number, sensitivity: number, falsePositives: number): number =>
    begin({
      places: [
        { name: "a", kind: "setup" },
        { name: "b", kind: "setup" },
      ],
      faults: [
        { name: "ill", in: "a", odds: prevalence, shows: { sign: [sensitivity, 1 - sensitivity] } },
        { name: "well", in: "b", odds: 1 - prevalence },
      ],
      readings: [{ name: "sign", cells: ["yes", "no"], healthy: [falsePositives, 1 - falsePositives] }],
      tests: [{ name: "look", reads: ["sign"] }],
    }).find("look", "yes").chances.uncured[0]!

  // D. M. Eddy 1982; G. Gigerenzer, U. Hoffrage, Psychological Review 102, 1995 (from memory, recomputed).
  test("1 % prevalence, 80 % sensitivity, 9.6 % false positives: 0.0776", () => {
    expect(screened(0.01, 0.8, 0.096)).toBeCloseTo(0.0776, 4)
  })

  // W. Casscells, A. Schoenberger, T. B. Graboys, New England Journal of Medicine 299, 1978 (from memory, recomputed).
  test("1 in 1000, 5 % false positives, nothing missed: 0.0196", () => {
    expect(screened(0.001, 1, 0.05)).toBeCloseTo(0.0196, 4)
  })
})
