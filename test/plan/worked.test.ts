import { describe, expect, test } from "vitest"
import { bestTotal } from "../support/policies.ts"
import { actions, belief, outcomes, start, verdicts } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

/** The examples worked by hand in the semantics, against the reference that everything else is measured by. */
const twoSetups = modelOf({
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
})

const seated = (more: { readonly reseat: boolean; readonly swap: boolean }) =>
  modelOf({
    comeback: 50,
    handover: 1000,
    places: [
      { name: "p", kind: "part", price: 100 },
      { name: "s", kind: "setup", of: "p" },
    ],
    faults: [
      { name: "part_bad", in: "p", odds: 1 },
      { name: "seat_bad", in: "s", odds: 1 },
    ],
    tests: [
      ...(more.swap ? [{ name: "try_p", swaps: "p", minutes: 10 }] : []),
      ...(more.reseat ? [{ name: "reseat_s", redoes: ["s"], minutes: 2 }] : []),
    ],
  })

describe("worked by hand", () => {
  test("of two setups the cheap one is tried first", () => {
    expect(bestTotal(twoSetups)).toBeCloseTo(1, 12)
  })

  test("trying the dear one first costs its 6 minutes and leaves nothing to do", () => {
    const after = outcomes(twoSetups, start(twoSetups), { test: 0, putBack: false })
    expect(after.map((each) => [each.found, each.chance, bestTotal(twoSetups, each.state)])).toEqual([
      ["gone", 0.75, 0],
      ["stays", 0.25, 0],
    ])
  })

  test("reseating tells part from seat for 2", () => {
    expect(bestTotal(seated({ reseat: true, swap: true }))).toBeCloseTo(2, 12)
  })

  test("without reseating, fitting and putting back tells them apart for 20", () => {
    expect(bestTotal(seated({ reseat: false, swap: true }))).toBeCloseTo(20, 12)
  })

  test("at once, the verdicts would lose 75 and 25", () => {
    const model = seated({ reseat: false, swap: true })
    const losses = verdicts(model, start(model)).map((each) => [each.remedy.kind, each.loss])
    expect(losses).toEqual([
      ["replace", 75],
      ["redo", 25],
    ])
    expect(bestTotal(seated({ reseat: false, swap: false }))).toBeCloseTo(25, 12)
  })

  test("a swap that cures is not believed until the old part is back", () => {
    const model = seated({ reseat: false, swap: true })
    const [gone, ...others] = outcomes(model, start(model), { test: 0, putBack: false })
    expect(others).toEqual([])
    expect(belief(model, gone!.state)).toEqual({ uncured: [0.5, 0], cured: [0, 0.5] })
    expect(actions(model, gone!.state)).toEqual([{ test: 0, putBack: true }])
    const back = outcomes(model, gone!.state, { test: 0, putBack: true })
    expect(back.map((each) => [each.found, each.chance, belief(model, each.state)])).toEqual([
      ["gone", 0.5, { uncured: [0, 0], cured: [0, 1] }],
      ["stays", 0.5, { uncured: [1, 0], cured: [0, 0] }],
    ])
  })
})
