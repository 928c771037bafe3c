import fc from "fast-check"
import { expect, test } from "vitest"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import { cureChance } from "../../compiler/model/repairs.ts"
import type { Plan } from "../../compiler/plan/plan.ts"
import type { FaultIndex, TestIndex } from "../../compiler/run/indexes.ts"
import { sketches, tiny } from "../support/models.ts"
import { type Action, actions, outcomes, type State } from "../support/reference.ts"
import type { Sketch } from "../support/sketch.ts"
import { after, always, type Cause, causesIn, commitmentsOf, named, type Stand, sum } from "./paths.ts"
import { unlike } from "./sequences.ts"

const small = {
  ...tiny,
  parts: 1,
  setups: 1,
  faults: 2,
  readings: 1,
  told: 0,
  tests: 1,
  rules: 1,
  nevers: 0,
  proofs: 1,
}

/**
 * With a step that works on two places at once, and costs that leave the planner in doubt about telling these apart: a
 * part and its seat, or a seat and a latch that mostly stays as it was and seldom shows.
 */
const seated = fc
  .record({
    sketch: sketches(small),
    odds: fc.tuple(fc.integer({ min: 4, max: 40 }), fc.integer({ min: 1, max: 6 })),
    minutes: fc.integer({ min: 5, max: 60 }),
    price: fc.integer({ min: 5, max: 80 }),
    swaps: fc.boolean(),
  })
  .map(({ sketch, odds: [often, seldom], minutes, price, swaps }): Sketch => {
    const places = [
      { name: "relay", kind: "part" as const, price },
      { name: "seat", kind: "setup" as const, of: "relay" },
      { name: "latch", kind: "setup" as const, cures: 0.1 },
    ]
    const work = swaps ? { swaps: "relay" } : { redoes: ["seat", "latch"] }
    return {
      ...sketch,
      trust: 0,
      handover: 400,
      places: [...sketch.places, ...places],
      faults: [
        ...sketch.faults,
        { name: "seat_dull", in: "seat", odds: swaps ? seldom : often },
        swaps
          ? { name: "relay_bad", in: "relay", odds: often }
          : { name: "latch_held", in: "latch", odds: seldom, recurs: 0.2 },
      ],
      tests: [...sketch.tests, { name: "work", minutes, ...work }],
    }
  })

/** Against every path of the plan. */
test("steps after whose `gone` causes stay mixed up", () => {
  const count = { confounded: 0, clear: 0, seldom: 0, separable: 0 }
  always(
    "confounded",
    (diagnostics, model, plan, stands) => {
      const mixed = new Map<string, Mixed[]>()
      const jobs = ({ index }: Stand) =>
        sum(stands.filter((each) => each.index === index).map(({ reach }) => reach))
      for (const stand of stands) {
        const { node } = stand
        if (node.do !== "test") continue
        const gone = after(model, plan, stand, (found) => found === "gone")[0]
        if (gone === undefined) continue
        const { causes, misled } = mixedUp(model, plan, node.test, gone)
        if (causes.length === 0) count.clear++
        else {
          const { name } = model.tests[node.test]!
          mixed.set(name, [...(mixed.get(name) ?? []), { stand, gone, causes, misled }])
        }
      }
      for (const [name, all] of mixed) {
        if (sum(all.map(({ misled }) => misled)) > 0.01) continue
        mixed.delete(name)
        count.seldom++
      }
      expect(diagnostics.map((each) => named(each)[0]).sort()).toEqual([...mixed.keys()].sort())
      for (const problem of diagnostics) {
        count.confounded++
        const [name, , ...rest] = named(problem)
        const names = rest.filter((each) => model.faults.some((fault) => fault.name === each))
        const here = mixed.get(name!)!
        const most = Math.max(...here.map(({ stand }) => jobs(stand)))
        const told = here.filter(({ stand, causes }) => {
          const expected = causes.map(({ fault }) => model.faults[fault]!.name)
          return !unlike(jobs(stand), most) && [...expected].sort().join() === [...names].sort().join()
        })
        expect(told.length, problem.message).toBeGreaterThan(0)
        // What separates two faults is said of machines that have one of them.
        if (model.ruleset.second === 0) count.separable += separators(model, problem, told)
      }
    },
    seated,
    250,
  )
  expect(count.clear).toBeGreaterThan(50)
  expect(count.seldom).toBeGreaterThan(0)
  expect(Math.min(count.confounded, count.separable)).toBeGreaterThan(5)
}, 240_000)

interface Mixed {
  readonly stand: Stand
  readonly gone: Stand
  readonly causes: readonly Cause[]
  /** Of all jobs, those in which the plan then does what is wrong for their cause. */
  readonly misled: number
}

/** What the test changed: what it can cure, or what was out of the machine while it looked. */
function changed(model: Model, step: TestIndex, fault: FaultIndex): boolean {
  const test = model.tests[step]!
  const { place } = model.faults[fault]!
  const { of } = model.places[place]!
  const out =
    test.parts.includes(place) || (test.kind === "removes" && of !== undefined && test.parts.includes(of))
  return out || cureChance(model, test, fault) > 0
}

const remedy = (model: Model, { fault, cured }: Cause) =>
  cured ? "nothing" : `${model.faults[fault]!.place}`

/** Faults that the step changed, of each hypothesis in which they alone were changed. */
function soleCauses(model: Model, step: TestIndex, state: State): Cause[] {
  const hypotheses = state.hypotheses.flatMap((each) => {
    const own = [...model.faults.keys()].filter(
      (fault) => each.faults.includes(fault) && changed(model, step, fault),
    )
    return own.length === 1 ? [{ ...each, faults: own }] : []
  })
  return causesIn({ ...state, hypotheses })
}

/** Causes of this `gone` of which nothing sets one apart from another with a different remedy before the plan acts on it. */
function mixedUp(model: Model, plan: Plan, step: TestIndex, gone: Stand): Pick<Mixed, "causes" | "misled"> {
  const all = soleCauses(model, step, gone.state).filter(({ share }) => share > 0.05)
  const ends = commitmentsOf(model, plan, gone).map((end) => ({
    ...end,
    shares: soleCauses(model, step, end.state),
  }))
  const guesses = new Set<(typeof ends)[number]>()
  const together = (a: Cause, b: Cause) => {
    const picked: (typeof ends)[number][] = []
    for (const end of ends) {
      const [x, y] = [a, b].map(({ fault }) => end.shares.find((each) => each.fault === fault))
      if (x === undefined && y === undefined) continue
      if (x === undefined || y === undefined) return false
      if (unlike((x.share * b.share) / (y.share * a.share), 1)) return false
      if (fits(model, end, x) !== fits(model, end, y)) picked.push(end)
    }
    for (const end of picked) guesses.add(end)
    return picked.length > 0
  }
  const causes = all.filter((a) => all.some((b) => remedy(model, a) !== remedy(model, b) && together(a, b)))
  const wrong = [...guesses].map((end) => {
    const left = end.shares.filter(
      (each) => causes.some(({ fault }) => fault === each.fault) && !fits(model, end, each),
    )
    return end.reach * sum(left.map(({ share }) => share))
  })
  return { causes, misled: sum(wrong) }
}

/** Does the plan do here what this cause needs? */
function fits(model: Model, { node, state }: Stand, { fault, cured }: Cause): boolean {
  if (node.do === "close") return cured
  if (cured || node.do === "handover") return false
  // A machine that has it alone, in which no rule acts any more.
  const struckBy = [...model.rules.keys()]
  const alone = { faults: [fault], cured: [], weight: 1, takings: [], struckBy }
  return outcomes(model, { ...state, findings: new Map(), hypotheses: [alone] }, node as Action).some(
    (each) => each.state.hypotheses.some(({ cured: list }) => list.includes(fault)),
  )
}

/** What is said to separate the causes now does so; how often it was said. */
function separators(model: Model, { help = "" }: Diagnostic, told: readonly Mixed[]): number {
  const separated = help.split("What would separate them: ")[1] ?? ""
  let count = 0
  for (const [, part, test] of separated.matchAll(/putting `(\w+)` back|`(\w+)` done next/g)) {
    count++
    const works = told.some((mixed) => {
      const { state } = mixed.gone
      const action = actions(model, state).find((each) =>
        part === undefined
          ? each.do === "test" && model.tests[each.test]!.name === test
          : each.do === "putBack" && model.places[each.part]!.name === part,
      )
      // It may wait for findings that are not there yet.
      return action === undefined ? part === undefined : shifts(model, mixed, action)
    })
    expect(works, help).toBe(true)
  }
  return count
}

function shifts(model: Model, { gone, causes }: Mixed, action: Action): boolean {
  const [first, ...others] = [...causes].sort((a, b) => b.share - a.share)
  const states = outcomes(model, gone.state, action).map((each) => each.state)
  const shareOf = (state: State, { fault }: Cause) =>
    causesIn(state).find((each) => each.fault === fault)?.share ?? 0
  return others.some((other) =>
    states.some((state) =>
      unlike(shareOf(state, first!) * other.share, shareOf(state, other) * first!.share),
    ),
  )
}
