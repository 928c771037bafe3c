import fc from "fast-check"
import { expect, test } from "vitest"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan } from "../../compiler/plan/plan.ts"
import { sketches, tiny } from "../support/models.ts"
import { sameRemedy } from "../support/policies.ts"
import { type Action, outcomes, remedyFor, type State } from "../support/reference.ts"
import type { Sketch } from "../support/sketch.ts"
import { machines } from "./brute.ts"
import { after, always, type Cause, causesIn, endsOf, named, type Stand, sum } from "./paths.ts"
import { steps, unlike } from "./sequences.ts"

/**
 * With a step that works on two places at once, and costs that leave the planner in doubt about telling these apart: a
 * part and its seat, or a seat and a latch that mostly stays as it was and seldom shows.
 */
const seated = fc
  .record({
    sketch: sketches(tiny),
    odds: fc.tuple(fc.integer({ min: 4, max: 40 }), fc.integer({ min: 1, max: 6 })),
    minutes: fc.integer({ min: 5, max: 60 }),
    trust: fc.constantFrom(0.63, 0.75, 0.83),
    swaps: fc.boolean(),
  })
  .map(({ sketch, odds: [often, seldom], minutes, trust, swaps }): Sketch => {
    const places = [
      { name: "relay", kind: "part" as const },
      { name: "seat", kind: "setup" as const, of: "relay" },
      { name: "latch", kind: "setup" as const, cures: 0.1 },
    ]
    const work = swaps ? { swaps: "relay" } : { redoes: ["seat", "latch"] }
    return {
      ...sketch,
      trust,
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
  const count = { confounded: 0, clear: 0, separable: 0, hopeless: 0 }
  always(
    "confounded",
    (diagnostics, model, plan, stands) => {
      const mixed = new Map<string, Mixed[]>()
      const jobs = ({ index }: Stand) =>
        sum(stands.filter((each) => each.index === index).map(({ reach }) => reach))
      for (const stand of stands) {
        const { node } = stand
        if (node.do !== "test" || node.putBack) continue
        const gone = after(model, plan, stand, (found) => found === "gone")[0]
        if (gone === undefined) continue
        const causes = mixedUp(model, plan, node.test, gone)
        if (causes.length === 0) count.clear++
        else {
          const { name } = model.tests[node.test]!
          mixed.set(name, [...(mixed.get(name) ?? []), { stand, gone, causes }])
        }
      }
      expect(diagnostics.map((each) => named(each)[0]).sort()).toEqual([...mixed.keys()].sort())
      for (const finding of diagnostics) {
        count.confounded++
        const [name, , ...rest] = named(finding)
        const names = rest.filter((each) => model.faults.some((fault) => fault.name === each))
        const here = mixed.get(name!)!
        const most = Math.max(...here.map(({ stand }) => jobs(stand)))
        const told = here.filter(({ stand, causes }) => {
          const expected = causes.map(({ fault }) => model.faults[fault]!.name)
          return !unlike(jobs(stand), most) && [...expected].sort().join() === [...names].sort().join()
        })
        expect(told.length, finding.message).toBeGreaterThan(0)
        if (!barred(model)) separators(model, finding, told, count)
      }
    },
    seated,
  )
  expect(count.clear).toBeGreaterThan(50)
  expect(Math.min(count.confounded, count.separable, count.hopeless)).toBeGreaterThan(5)
})

interface Mixed {
  readonly stand: Stand
  readonly gone: Stand
  readonly causes: readonly Cause[]
}

/** A `never` takes some value away altogether: an error by itself, and then a test may say less than its reading could. */
function barred(model: Model): boolean {
  const all = machines(model)
  return model.readings.some(({ cells }, r) => cells.some((_, cell) => all.every((each) => each[r] !== cell)))
}

/** Causes of this `gone` that no way to go on sets apart from one of another remedy, though a verdict picks one. */
function mixedUp(model: Model, plan: Plan, step: number, gone: Stand): Cause[] {
  const { part, redoes } = model.tests[step]!
  const changed = (fault: number) => {
    const { place } = model.faults[fault]!
    return place === part || redoes.some(({ setup, cures }) => setup === place && cures > 0)
  }
  const causes = causesIn(gone.state).filter(({ fault, share }) => share > 0.05 && changed(fault))
  const ends = endsOf(model, plan, gone)
  const together = (a: Cause, b: Cause) => {
    let picked = false
    for (const { node, state } of ends) {
      const [x, y] = [a, b].map(({ fault }) => causesIn(state).find((each) => each.fault === fault))
      if (x === undefined && y === undefined) continue
      if (x === undefined || y === undefined) return false
      if (unlike((x.share * b.share) / (y.share * a.share), 1)) return false
      if (node.do !== "verdict") continue
      const [mendsX, mendsY] = [x, y].map(({ likeliest }) =>
        sameRemedy(remedyFor(model, likeliest), node.remedy),
      )
      if (mendsX !== mendsY) picked = true
    }
    return picked
  }
  return causes.filter((a) => causes.some((b) => otherRemedy(model, a, b) && together(a, b)))
}

function otherRemedy(model: Model, a: Cause, b: Cause): boolean {
  return !sameRemedy(remedyFor(model, a.likeliest), remedyFor(model, b.likeliest))
}

/** What is said to separate the causes does; where nothing is, nothing that can be done next does. */
function separators(
  model: Model,
  { help = "" }: Diagnostic,
  told: readonly Mixed[],
  count: { separable: number; hopeless: number },
): void {
  const shifts = (mixed: Mixed, from: State, actions: readonly Action[]): boolean => {
    const [first, ...others] = [...mixed.causes].sort((a, b) => b.share - a.share)
    let states = [from]
    for (const action of actions)
      states = states.flatMap((state) => outcomes(model, state, action).map((each) => each.state))
    return others.some(
      (other) =>
        otherRemedy(model, first!, other) &&
        states.some((state) => {
          const [x, y] = [first!, other].map(
            ({ fault }) => causesIn(state).find((each) => each.fault === fault)?.share ?? 0,
          )
          return unlike(x! * other.share, y! * first!.share)
        }),
    )
  }
  const index = (name: string) => model.tests.findIndex((each) => each.name === name)
  const separated = help.split("What would separate them: ")[1]
  if (separated === undefined) {
    count.hopeless++
    for (const mixed of told) {
      const next = steps(model, mixed.gone.state) ?? []
      for (const { before, action } of next)
        if (before === mixed.gone.state) expect(shifts(mixed, before, [action]), help).toBe(false)
    }
    return
  }
  for (const [, part, back, test, when] of separated.matchAll(
    /putting `(\w+)` (back)|`(\w+)` done (next|before)/g,
  )) {
    count.separable++
    const works = told.some((mixed) => {
      const { node, state } = mixed.stand as Stand & { node: { do: "test"; test: number } }
      if (back !== undefined) {
        const fitted = [...mixed.gone.state.fitted].find(([place]) => model.places[place]!.name === part)
        return fitted !== undefined && shifts(mixed, mixed.gone.state, [{ test: fitted[1], putBack: true }])
      }
      const action = { test: index(test!), putBack: false }
      return when === "next"
        ? shifts(mixed, mixed.gone.state, [action])
        : shifts(mixed, state, [action, { test: node.test, putBack: false }])
    })
    expect(works, help).toBe(true)
  }
}
