import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Condition, Model } from "../../compiler/model/model.ts"
import { sketches, tiny } from "../support/models.ts"
import { indexed } from "../support/plain.ts"
import { evaluate, sameFound } from "../support/policies.ts"
import {
  type Action,
  actions,
  type Belief,
  belief,
  bestPlan,
  known,
  outcomes,
  perform,
  redone,
  replay,
  type State,
  start,
  unavoidable,
} from "../support/reference.ts"
import { modelOf, nowhere } from "../support/sketch.ts"
import { solve, solvedModels } from "../support/solved.ts"

/** The measuring stick itself: what the semantics claims of itself must hold in the reference. */
describe("conditions on partial evidence", () => {
  const is = (reading: number) =>
    indexed<Condition>({ kind: "in", reading, cells: [true, false], span: nowhere })
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

/** A walk of random steps; each state on it. */
function walk(model: Model, choices: readonly number[]): State[] {
  const states = [start(model)]
  for (const choice of choices) {
    const may = actions(model, states.at(-1)!).filter((each) => each.do !== "handover")
    if (may.length === 0) break
    const found = outcomes(model, states.at(-1)!, {
      ...may[choice % may.length]!,
      leaveIn: choice % 2 === 0,
    }).filter(({ on }) => on !== "holds")
    if (found.length === 0) break
    states.push(found[choice % found.length]!.state)
  }
  return states
}

const walks = fc.tuple(sketches(tiny), fc.array(fc.nat(99), { maxLength: 5 }))
const total = (numbers: readonly number[]) => numbers.reduce((sum, each) => sum + each, 0)

test("chances add up to 1, of states and of an action's outcomes, whatever came before", () => {
  fc.assert(
    fc.property(walks, ([sketch, choices]) => {
      const model = modelOf(sketch)
      for (const state of walk(model, choices)) {
        expect(total(state.hypotheses.map(({ weight }) => weight))).toBeCloseTo(1, 12)
        for (const action of actions(model, state)) {
          if (action.do === "handover") continue
          const found = outcomes(model, state, action)
          if (found.length > 0) expect(total(found.map(({ chance }) => chance))).toBeCloseTo(1, 12)
        }
      }
    }),
  )
})

test("where nothing is struck or forbidden, an action leaves what is present as likely as it was, on average", () => {
  fc.assert(
    fc.property(walks, ([sketch, choices]) => {
      const model = modelOf({ ...sketch, rules: [], nevers: [] })
      for (const state of walk(model, choices)) {
        const { present, unlisted } = belief(model, state)
        for (const action of actions(model, state)) {
          if (action.do === "handover") continue
          const { outcomes: found, struck, forbidden } = perform(model, state, action)
          expect([struck, forbidden]).toEqual([0, 0])
          const after = found.map(({ chance, state }) => ({ chance, ...belief(model, state) }))
          const mean = (of: (each: Belief) => number) => total(after.map((each) => each.chance * of(each)))
          for (const [fault, chance] of present.entries()) {
            expect(mean((each) => each.present[fault]!)).toBeCloseTo(chance, 12)
          }
          expect(mean((each) => each.unlisted)).toBeCloseTo(unlisted, 12)
        }
      }
    }),
  )
})

test("a rule that strikes in some outcomes only leaves a fault as likely as it was, too", () => {
  fc.assert(
    fc.property(sketches(tiny), (sketch) => {
      const model = modelOf(sketch)
      const state = start(model)
      for (const action of actions(model, state)) {
        if (action.do === "handover") continue
        const found = outcomes(model, state, action)
        // A state that is struck under everything that can come is out, and makes room.
        const states = (all: readonly State[]) =>
          new Set(all.flatMap(({ hypotheses }) => hypotheses.map(({ faults }) => `${faults}`)))
        if (states(found.map((each) => each.state)).size < states([state]).size) continue
        const faults = belief(model, state).present
        const after = faults.map((_, fault) =>
          total(found.map((each) => each.chance * belief(model, each.state).present[fault]!)),
        )
        for (const [fault, chance] of faults.entries()) expect(after[fault]).toBeCloseTo(chance, 12)
      }
    }),
  )
})

test("where nothing is struck or forbidden, the order in which findings came never changes the chances", () => {
  fc.assert(
    fc.property(sketches(tiny), (sketch) => {
      const model = modelOf({ ...sketch, rules: [], nevers: [] })
      const looks = actions(model, start(model)).filter(
        (each) => each.do === "test" && model.tests[each.test]!.reads.length > 0,
      )
      for (const [i, first] of looks.entries()) {
        for (const second of looks.slice(i + 1)) {
          for (const { on, chance, state } of outcomes(model, start(model), first)) {
            for (const next of outcomes(model, state, second)) {
              const other = outcomes(model, start(model), second).find((each) => sameFound(each.on, next.on))!
              const back = outcomes(model, other.state, first).find((each) => sameFound(each.on, on))!
              expect(other.chance * back.chance).toBeCloseTo(chance * next.chance, 12)
              const [here, there] = [belief(model, next.state), belief(model, back.state)]
              for (const [fault, each] of here.present.entries()) {
                expect(there.present[fault]).toBeCloseTo(each, 12)
              }
            }
          }
        }
      }
    }),
  )
})

describe("trying every plan", () => {
  const solved = solvedModels(200)

  test("the best plan, walked along all of its paths, costs the least total", () => {
    for (const { seed, model, best, plan } of solved) {
      expect(evaluate(model, plan).total, `seed ${seed}`).toBeCloseTo(best, 9)
    }
  })

  test("knowing the state from the start never costs more where no rule tilts the chances", () => {
    for (const { seed, sketch } of solved.slice(0, 20)) {
      const plain = solve({ ...sketch, rules: [], nevers: [], trust: 0 })
      if (plain) expect(unavoidable(plain.model), `seed ${seed}`).toBeLessThanOrEqual(plain.best + 1e-9)
    }
  })

  test("the best plans do everything that can be done", () => {
    const used = new Set<string>()
    for (const { model, plan } of solved) {
      for (const node of plan.nodes) {
        used.add(node.do === "test" ? model.tests[node.test]!.kind : node.do)
        if ("edges" in node && node.edges.some(({ on }) => on === "fails")) used.add("fails")
      }
    }
    const kinds = ["reads", "told", "swaps", "redoes", "removes"]
    const others = ["putBack", "keep", "replace", "fix", "look", "close", "fails", "handover"]
    expect([...used].sort()).toEqual(expect.arrayContaining([...kinds, ...others]))
  })
})

describe("what may be done", () => {
  const model = modelOf({
    complaint: { minutes: 1, tries: 2 },
    second: 0.6,
    comeback: 1000,
    handover: 1000,
    places: [
      { name: "p", kind: "part", price: 100 },
      { name: "q", kind: "part", price: 100 },
      { name: "s", kind: "setup", of: "p", cures: 0.5 },
    ],
    faults: [
      { name: "in_p", in: "p", odds: 1 },
      { name: "in_q", in: "q", odds: 1, recurs: 0.5 },
      { name: "in_s", in: "s", odds: 1 },
    ],
    tests: [
      { name: "try_p", swaps: "p", minutes: 5 },
      { name: "try_q", swaps: "q", minutes: 5 },
      { name: "without_p", removes: "p", minutes: 1 },
    ],
  })
  const tryP: Action = { do: "test", test: 0, leaveIn: true }
  const open = (log: Parameters<typeof replay>[2]) =>
    actions(model, replay(model, start(model), log)!).map((each) => Object.values(each).flat().join(" "))

  test("as it comes in: no look, no closing, nothing fitted, and no fix where no test redoes the seat", () => {
    expect(open([])).toEqual(["test 0", "test 1", "test 2", "replace 0", "replace 1", "handover"])
  })

  test("after `gone` a part is put back or kept; left in after `stays` it can be taken out", () => {
    const fitted = ["test 1", "putBack 0", "keep 0", "replace 1", "look", "handover"]
    expect(open([{ action: tryP, on: "gone" }])).toEqual(fitted)
    const left = ["test 1", "takeOut 0", "putBack 0", "keep 0", "replace 1", "look", "handover"]
    expect(open([{ action: tryP, on: "stays" }])).toEqual(left)
  })

  test("a look opens once after each change, closing only after the last look gave `gone`", () => {
    const kept = { action: { do: "keep", part: 0 }, on: "done" } as const
    const after = ["test 0", "test 1", "test 2", "replace 0", "replace 1"]
    expect(open([{ action: tryP, on: "gone" }, kept])).toEqual([...after, "look", "close", "handover"])
    const look = { action: { do: "look" }, on: "gone" } as const
    expect(open([{ action: tryP, on: "gone" }, kept, look])).toEqual([...after, "close", "handover"])
    expect(open([{ action: { do: "test", test: 2 }, on: "gone" }])).not.toContain("close")
  })

  test("a swap is repeated with other parts in, and every test after a repair", () => {
    const tryQ = { action: { do: "test", test: 1 }, on: "stays" } as const
    const back = { action: { ...tryP, leaveIn: false }, on: "stays" } as const
    expect(open([back, tryQ])).not.toContain("test 1")
    expect(open([tryQ, { action: tryP, on: "stays" }])).toContain("test 1")
    const replaced = { action: { do: "replace", part: 1 }, on: "stays" } as const
    expect(open([back, tryQ, replaced])).toEqual(expect.arrayContaining(["test 0", "test 1"]))
    expect(open([replaced])).not.toContain("replace 1")
  })

  test("the tries of a look are paid as they are made", () => {
    // Only q is dead, and shows in half of the tries: one try is made with certainty, a second with 1/2.
    const known = { ...start(model), hypotheses: [{ ...start(model).hypotheses[1]!, weight: 1 }] }
    const tries = outcomes(model, known, { do: "test", test: 0 }).map((each) => each.chance * each.tries)
    expect(total(tries)).toBeCloseTo(1.5, 12)
  })

  test("the good part is left in where two parts are likely dead", () => {
    const parts = ["p", "q"]
    const model = modelOf({
      second: 0.6,
      comeback: 200,
      handover: 250,
      places: parts.map((name) => ({ name, kind: "part", price: 100, fit: { minutes: 30 } })),
      faults: parts.map((name) => ({ name: `in_${name}`, in: name, odds: 1 })),
      tests: parts.map((name) => ({ name: `try_${name}`, swaps: name, minutes: 5 })),
    })
    const { total: least, plan } = bestPlan(model, 20_000)
    expect(plan.nodes.some((node) => "edges" in node && node.edges.some(({ leaveIn }) => leaveIn))).toBe(true)
    expect(evaluate(model, plan).total).toBeCloseTo(least, 9)
  })
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
    expect(redone(places, [2], [])).toEqual([...all, { setup: 3, cures: 0.85, named: false }])
  })

  test("redoing a setup redoes those that it is behind", () => {
    expect(redone(places, [], [{ setup: 1, cures: 0.5 }])).toEqual([
      all[0],
      { setup: 1, cures: 0.5, named: true },
    ])
  })

  test("a percentage of the test's own goes before the setup's", () => {
    expect(redone(places, [2], [{ setup: 3, cures: 0.1 }])).toEqual([
      ...all,
      { setup: 3, cures: 0.1, named: true },
    ])
  })
})
