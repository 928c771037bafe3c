import fc from "fast-check"
import { expect, test } from "vitest"
import { open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Size, sketches, tiny } from "../support/models.ts"
import { actions, belief, outcomes, type State, start } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

const small: Size = { ...tiny, faults: 7, readings: 4, told: 2, tests: 7, rules: 5, nevers: 2 }

/** What the runner says of a step that may be done now, as a key for comparing. */
const keys = (list: readonly { test: number; putBack?: unknown }[]) =>
  list.map(({ test, putBack }) => `${test}${putBack ? " back" : ""}`)

test("the runner gives the chances of the plain semantics, along random walks", () => {
  fc.assert(
    fc.property(sketches(small), fc.infiniteStream(fc.nat(1e6)), (sketch, choices) => {
      const model = modelOf(sketch)
      let state: State = start(model)
      let session: Session = open(graphOf(model))
      const pick = <T>(items: readonly T[]): T => items[choices.next().value % items.length]!
      for (;;) {
        const open = actions(model, state)
        expect(keys(session.steps)).toEqual(keys(open))
        if (!open.length) return
        const action = pick(open)
        const all = outcomes(model, state, action)
        const step = session.steps[open.indexOf(action)]!
        expect(step.outcomes.map((each) => each.found)).toEqual(all.map((each) => each.found))
        step.outcomes.forEach((each, i) => {
          expect(each.chance).toBeCloseTo(all[i]!.chance, 9)
        })
        expect(step.cost).toBeCloseTo(model.tests[action.test]!.cost, 9)
        if (!all.length) return
        const { found, state: next } = pick(all)
        const name = action.putBack
          ? model.places[model.tests[action.test]!.part!]!.name
          : model.tests[action.test]!.name
        session = session.find(name, found)
        state = next
        const wanted = belief(model, state)
        const got = session.chances
        model.faults.forEach((_, fault) => {
          expect(got.uncured[fault]).toBeCloseTo(wanted.uncured[fault]!, 9)
          expect(got.cured[fault]).toBeCloseTo(wanted.cured[fault]!, 9)
        })
      }
    }),
    { numRuns: 300 },
  )
})
