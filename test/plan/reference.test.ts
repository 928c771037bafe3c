import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Condition } from "../../compiler/model/model.ts"
import { sketches, tiny } from "../support/models.ts"
import { actions, known, outcomes, redone, type State, start, total } from "../support/reference.ts"
import { modelOf, nowhere } from "../support/sketch.ts"

/** The measuring stick itself: what the semantics claims of itself must hold in the reference. */
describe("conditions on partial evidence", () => {
  const is = (reading: number): Condition => ({ kind: "in", reading, cells: [true, false], span: nowhere })
  const not = (item: Condition): Condition => ({ kind: "not", item, span: nowhere })
  const both = (...items: Condition[]): Condition => ({ kind: "and", items, span: nowhere })
  const either = (...items: Condition[]): Condition => ({ kind: "or", items, span: nowhere })
  const seen = (...cells: [number, number][]) => new Map(cells)

  // S. C. Kleene, Introduction to Metamathematics, 1952, § 64: the strong tables.
  test.each([
    ["an unread reading is unknown", is(0), seen(), undefined],
    ["so is its negation", not(is(0)), seen(), undefined],
    ["and: one false decides", both(is(0), is(1)), seen([0, 1]), false],
    ["and: one true does not", both(is(0), is(1)), seen([0, 0]), undefined],
    ["or: one true decides", either(is(0), is(1)), seen([0, 0]), true],
    ["or: one false does not", either(is(0), is(1)), seen([0, 1]), undefined],
    ["nothing is known of a tautology before it is read", either(is(0), not(is(0))), seen(), undefined],
  ])("%s", (_, condition, evidence, value) => {
    expect(known(condition, evidence)).toBe(value)
  })
})

test("the chances of an action's outcomes add up to 1, whatever came before", () => {
  fc.assert(
    fc.property(sketches(tiny), fc.array(fc.nat(99), { maxLength: 4 }), (sketch, choices) => {
      const model = modelOf(sketch)
      let state: State = start(model)
      for (const choice of choices) {
        const may = actions(model, state)
        if (may.length === 0) return
        const found = outcomes(model, state, may[choice % may.length]!)
        if (found.length === 0) return
        expect(found.reduce((sum, each) => sum + each.chance, 0)).toBeCloseTo(1, 12)
        state = found[choice % found.length]!.state
      }
    }),
  )
})

test("the order in which findings came never changes the weights", () => {
  fc.assert(
    fc.property(sketches(tiny), (sketch) => {
      const model = modelOf(sketch)
      const looks = actions(model, start(model)).filter(({ test }) => model.tests[test]!.reads.length > 0)
      for (const first of looks) {
        for (const second of looks) {
          const shared = model.tests[first.test]!.reads.some((r) =>
            model.tests[second.test]!.reads.includes(r),
          )
          if (first.test >= second.test || shared) continue
          const there = weights(model, [first, second])
          const back = weights(model, [second, first])
          expect([...back.keys()].map(flipped).sort()).toEqual([...there.keys()].sort())
          for (const [key, each] of back) {
            for (const [i, weight] of each.entries())
              expect(there.get(flipped(key))![i]).toBeCloseTo(weight, 12)
          }
        }
      }
    }),
  )

  /** By what was found: the weight of each hypothesis. */
  function weights(
    model: ReturnType<typeof modelOf>,
    order: ReturnType<typeof actions>,
  ): Map<string, number[]> {
    const all = new Map<string, number[]>()
    for (const one of outcomes(model, start(model), order[0]!)) {
      for (const two of outcomes(model, one.state, order[1]!)) {
        const each = two.state.hypotheses.map((hypothesis) => hypothesis.weight)
        all.set(`${one.found}|${two.found}`, each)
      }
    }
    return all
  }

  function flipped(key: string): string {
    return key.split("|").reverse().join("|")
  }
})

test("cured and uncured add up to what was there before the redoing", () => {
  fc.assert(
    fc.property(sketches(tiny), (sketch) => {
      const model = modelOf(sketch)
      for (const action of actions(model, start(model))) {
        if (model.tests[action.test]!.reads.length > 0) continue
        const after = outcomes(model, start(model), action)
        const sum = after.reduce((so, each) => so + total(each.state.hypotheses), 0)
        expect(sum).toBeCloseTo(total(start(model).hypotheses), 9)
      }
    }),
  )
})

describe("what a test redoes", () => {
  // cover ← clip ← board, seat of board: to swap the board is to undo clip and cover and to redo its seat.
  const places = [
    { behind: [], cures: 0.4 },
    { behind: [0], cures: 1 },
    { behind: [1], cures: 1 },
    { behind: [], of: 2, cures: 0.85 },
  ]
  const all = [
    { setup: 0, cures: 0.4, named: false },
    { setup: 1, cures: 1, named: false },
  ]

  test("a swap redoes the part's setups and all that it is behind", () => {
    expect(redone(places, 2, [])).toEqual([...all, { setup: 3, cures: 0.85, named: false }])
  })

  test("redoing a setup redoes those that it is behind", () => {
    expect(redone(places, undefined, [{ setup: 1, cures: 0.5 }])).toEqual([
      all[0],
      { setup: 1, cures: 0.5, named: true },
    ])
  })

  test("a percentage of the test's own goes before the setup's", () => {
    expect(redone(places, 2, [{ setup: 3, cures: 0.1 }])).toEqual([
      ...all,
      { setup: 3, cures: 0.1, named: true },
    ])
  })
})
