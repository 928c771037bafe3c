import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { Context } from "../../compiler/check/context.ts"
import { blindTests } from "../../compiler/check/proofs/blind-tests.ts"
import { deadFaults } from "../../compiler/check/proofs/dead-faults.ts"
import { doableTests } from "../../compiler/check/proofs/doable-tests.ts"
import { inseparableGroups } from "../../compiler/check/proofs/inseparable.ts"
import type { Model } from "../../compiler/model/model.ts"
import { cureChance } from "../../compiler/model/repairs.ts"
import type { FaultIndex } from "../../compiler/run/indexes.ts"
import { sketches, tiny } from "../support/models.ts"
import { type Action, start } from "../support/reference.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"
import { chances, isTesting, type Step, steps, unlike } from "./sequences.ts"

/** `free`: no test waits for another or for findings, so what can be done can be done at any time. */
function always(
  free: boolean,
  wanted: (action: Action) => boolean,
  property: (model: Model, context: Context, all: readonly Step[]) => void,
  { change = (sketch: Sketch) => sketch, size = { ...tiny, tests: 2 } } = {},
): void {
  // Every other one is changed into what is seldom drawn.
  const drawn = fc.tuple(sketches(size), fc.boolean())
  const models = drawn.map(([sketch, changed]) => {
    const model = modelOf(changed ? change(sketch) : sketch)
    if (!free) return model
    const tests = model.tests.map(({ onlyIf: _, ...each }) => ({ ...each, after: [], afterAny: [] }))
    return { ...model, tests }
  })
  fc.assert(
    fc.property(models, (model) => {
      const all = steps(model, wanted)
      if (all !== undefined) property(model, new Context(model), all)
    }),
    { numRuns: 150, seed: 5 },
  )
}

/** With the first fault in a part of its own and once more in another: twins, unless something makes a difference. */
function twinned(sketch: Sketch): Sketch {
  const [first, ...others] = sketch.faults
  const places = [
    { name: "left", kind: "part" as const, price: 10 },
    { name: "right", kind: "part" as const, price: 20 },
  ]
  const faults = [{ ...first!, in: "left" }, ...others, { ...first!, name: "twin", in: "right" }]
  return { ...sketch, places: [...sketch.places, ...places], faults }
}

/** With a test in place of the first one that reads what no fault speaks of. */
function dulled(sketch: Sketch): Sketch {
  const [first, ...others] = sketch.tests
  const dull = { name: "dull", told: false, cells: ["yes", "no"] }
  const look = { name: first!.name, reads: ["dull"], minutes: 1, costs: 0 }
  return { ...sketch, readings: [...(sketch.readings ?? []), dull], tests: [look, ...others] }
}

/** By pair of faults: does some sequence shift their chances against each other, alone or beside the same third one? */
function told(model: Model, all: readonly Step[]): (a: number, b: number) => boolean {
  const at = [start(model), ...all.map(({ after }) => after)].map(chances)
  const beside = [...model.faults.keys()].map((fault) => [fault])
  return (a, b) =>
    [[], ...beside.filter(([third]) => third !== a && third !== b)].some((others) => {
      const keyOf = (fault: number) => [fault, ...others].sort((x, y) => x - y).join(" ")
      const of = (now: ReadonlyMap<string, number>, fault: number) => now.get(keyOf(fault)) ?? 0
      return at.some((now) => unlike(of(now, a) * of(at[0]!, b), of(now, b) * of(at[0]!, a)))
    })
}

describe("against every sequence of tests", () => {
  test.each([false, true])(
    "faults that none can tell apart (no test waits: %s)",
    (free) => {
      const count = { groups: 0, apart: 0 }
      const compare = (model: Model, context: Context, all: readonly Step[]) => {
        const apart = told(model, all)
        const groups = inseparableGroups(context)
        for (const group of groups) {
          count.groups++
          for (const a of group) for (const b of group) expect(apart(a, b)).toBe(false)
        }
        if (!free || !context.possible || context.kinds.pairs) return
        const dead = new Set(context.once(deadFaults).map(({ fault }) => fault))
        for (const a of model.faults.keys()) {
          for (const b of model.faults.keys()) {
            if (b >= a) break
            if (model.faults[a]!.place === model.faults[b]!.place || dead.has(a) || dead.has(b)) continue
            if (groups.some((group) => group.includes(a) && group.includes(b))) continue
            if (curedTogether(model, a, b)) continue
            count.apart++
            expect(apart(a, b), `${a} ${b}`).toBe(true)
          }
        }
      }
      always(free, isTesting, compare, { change: twinned })
      expect(count.groups).toBeGreaterThan(3)
      if (free) expect(count.apart).toBeGreaterThan(60)
    },
    240_000,
  )

  test.each([false, true])(
    "tests that tell nothing (no test waits: %s)",
    (free) => {
      const count = { blind: 0, sharp: 0 }
      always(
        free,
        ({ do: what }) => what !== "handover",
        (model, context, all) => {
          const blind = new Set(blindTests(context))
          for (const index of model.tests.keys()) {
            const taken = all.filter(({ action }) => action.do === "test" && action.test === index)
            const tells = taken.some(({ before, after }) => {
              const now = chances(after)
              return [...chances(before)].some(([state, chance]) => unlike(chance, now.get(state) ?? 0))
            })
            if (blind.has(index)) {
              count.blind++
              expect(tells, model.tests[index]!.name).toBe(false)
            } else if (tells) count.sharp++
          }
        },
        // Repairs make many sequences, so only small models can be walked.
        { change: dulled, size: { ...tiny, parts: 1, setups: 1, faults: 2, tests: 2 } },
      )
      expect(Math.min(count.blind, count.sharp)).toBeGreaterThan(5)
    },
    240_000,
  )

  test("tests that can never be done", () => {
    let count = 0
    always(false, isTesting, (_, context, all) => {
      for (const index of context.once(doableTests).obstacles.keys()) {
        count++
        expect(all.some(({ action }) => action.do === "test" && action.test === index)).toBe(false)
      }
    })
    expect(count).toBeGreaterThan(3)
  }, 240_000)
})

function curedTogether(model: Model, a: FaultIndex, b: FaultIndex): boolean {
  return model.tests.some((test) => [a, b].every((fault) => cureChance(model, test, fault) >= 1))
}
