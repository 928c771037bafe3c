import fc from "fast-check"
import { expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import { type ActionStep, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Size, seeded, sketches, sketchFrom, tiny } from "../support/models.ts"
import { money } from "../support/reference/costs.ts"
import {
  type Action,
  actions,
  charge,
  lookMinutes,
  type Outcome,
  outcomes,
  type State,
  start,
} from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"

const small: Size = { ...tiny, faults: 6, readings: 3, told: 2, tests: 6, rules: 5, nevers: 2 }

/** Both sides in the same words: what is wrong and what of it is cured, with its chance. */
function chancesOf(
  hypotheses: readonly { faults: readonly number[]; cured: readonly number[] }[],
  of: (i: number) => number,
) {
  const chances = new Map<string, number>()
  hypotheses.forEach(({ faults, cured }, i) => {
    const key = `${faults} cured ${cured}`
    chances.set(key, (chances.get(key) ?? 0) + of(i))
  })
  return chances
}

function agree(session: Session, state: State): void {
  const wanted = chancesOf(state.hypotheses, (i) => state.hypotheses[i]!.weight)
  const got = chancesOf(session.hypotheses, (i) => session.hypotheses[i]!.chance)
  for (const key of new Set([...wanted.keys(), ...got.keys()]))
    expect(Math.abs((got.get(key) ?? 0) - (wanted.get(key) ?? 0)), key).toBeLessThan(1e-9)
}

const keyOf = (action: Action | ActionStep) => {
  switch (action.do) {
    case "test":
      return `test ${action.test}`
    case "fix":
      return `fix ${action.fault}`
    case "close":
      return `close ${action.proofs}`
    case "look":
    case "handover":
      return action.do
    default:
      return `${action.do} ${action.part}`
  }
}

/** What the runner offers is what the reference says may be done; handing over is always there. */
function openTo(model: Model, session: Session, state: State): readonly (readonly [Action, ActionStep])[] {
  const wanted = new Map(actions(model, state).map((action) => [keyOf(action), action]))
  wanted.delete("handover")
  const got = session.steps
  expect(got.map(keyOf).sort()).toEqual([...wanted.keys()].sort())
  return got.map((step) => [wanted.get(keyOf(step))!, step])
}

function sameOutcomes(step: ActionStep, all: readonly Outcome[]): void {
  const wanted = new Map(all.filter(({ chance }) => chance > 0).map(({ on, chance }) => [String(on), chance]))
  expect(step.outcomes.map(({ found }) => String(found)).sort()).toEqual([...wanted.keys()].sort())
  for (const { found, chance } of step.outcomes)
    expect(Math.abs(chance - wanted.get(String(found))!), `chance of ${found}`).toBeLessThan(1e-9)
}

/** A whole job, every choice and every outcome drawn; counts what was done. */
function walk(model: Model, pick: <T>(items: readonly T[]) => T, seen: Map<string, number>): void {
  let state = start(model)
  let session = open(graphOf(model))
  for (let turn = 0; turn < 14; turn++) {
    agree(session, state)
    if (state.hypotheses.length === 0) return
    const offered = openTo(model, session, state)
    if (offered.length === 0) return
    // What few states allow is taken more often where it is.
    const seldom = offered.filter(([{ do: kind }]) => kind === "takeOut" || kind === "close")
    const [action, step] = pick([...offered, ...seldom, ...seldom, ...seldom])
    const leaveIn =
      action.do === "test" && model.tests[action.test]!.kind === "swaps" && pick([true, true, false])
    const all = outcomes(model, state, leaveIn ? { ...action, leaveIn } : action)
    if (!leaveIn) sameOutcomes(step, all)
    const spent = charge(model, state, action)
    expect(Math.abs(step.cost - money(spent))).toBeLessThan(1e-9)
    if (!leaveIn) {
      const look = all.reduce((sum, each) => sum + each.chance * lookMinutes(model, each.tries), 0)
      expect(Math.abs(step.minutes - (spent.minutes ?? 0) - look)).toBeLessThan(1e-9)
    }
    if (all.length === 0) return
    const { on, state: next } = pick(all)
    const what = `${action.do} ${typeof on === "string" ? on : "read"}`
    seen.set(what, (seen.get(what) ?? 0) + 1)
    session = session.find(step.act, on, { leftIn: leaveIn })
    if (on === "holds") {
      expect(session.next).toMatchObject({ do: "end", closed: true })
      return
    }
    state = next
  }
}

test("the runner gives the chances of the plain semantics, along random walks of all actions", () => {
  fc.assert(
    fc.property(sketches(small), fc.infiniteStream(fc.nat(1e6)), (sketch, choices) => {
      walk(modelOf(sketch), (items) => items[choices.next().value % items.length]!, new Map())
    }),
    { numRuns: 100 },
  )
})

test("and along walks in which every action comes out in every way", () => {
  const seen = new Map<string, number>()
  for (let seed = 1; seed <= 150; seed++) {
    const draw = seeded(seed)
    walk(modelOf(sketchFrom(draw, small)), (items) => items[draw.int(0, items.length - 1)]!, seen)
  }
  const done =
    "test gone,test stays,test read,putBack gone,putBack stays,replace gone,replace stays,fix gone,fix stays,"
  const others = "look gone,look stays,keep done,takeOut done,close holds,close fails"
  for (const each of (done + others).split(",")) expect(seen.get(each) ?? 0, each).toBeGreaterThan(3)
})
