import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { checkPlan } from "../../compiler/check/check.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanNode } from "../../compiler/plan/plan.ts"
import type { Finding } from "../../compiler/syntax/finding.ts"
import { sketches, tiny } from "../support/models.ts"
import { evaluate, policyOfPlan, sameFound, sameRemedy } from "../support/policies.ts"
import {
  type Action,
  belief,
  type Hypothesis,
  outcomes,
  remedyFor,
  type State,
  total,
  verdicts,
} from "../support/reference.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"
import { against, machines } from "./brute.ts"
import { steps, unlike } from "./sequences.ts"
import { planFor } from "./text.ts"

/** Codes that speak of the best plan, against a walk along all of its paths with the plain semantics in hand. */
interface Stand {
  readonly node: PlanNode
  readonly index: number
  readonly state: State
  /** Chance of a job to come to this node on this path. */
  readonly reach: number
}

type Named = (finding: Finding) => readonly string[]
const named: Named = ({ message }) => [...message.matchAll(/`(\w+)`/g)].map((match) => match[1]!)

const any = sketches({ ...tiny, tests: 4 })

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

function always(
  code: string,
  property: (findings: readonly Finding[], model: Model, plan: Plan, stands: readonly Stand[]) => void,
  drawn = any,
): void {
  fc.assert(
    fc.property(drawn, (sketch) => {
      const model = modelOf(sketch)
      // No branch is left to the runner, so that every path can be walked to its end.
      const plan = planFor(model, { mass: 0 })
      expect(plan.exact).toBe(true)
      const stands: Stand[] = []
      evaluate(model, policyOfPlan(plan), (index, state, reach) =>
        stands.push({ node: plan.nodes[index]!, index, state, reach }),
      )
      property(
        checkPlan(model, plan).filter((each) => each.code === code),
        model,
        plan,
        stands,
      )
    }),
    { numRuns: 300, seed: 11 },
  )
}

const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)

const alive = ({ hypotheses }: State): Hypothesis[] => hypotheses.filter(({ weight }) => weight > 0)

describe("against every path of the plan", () => {
  test("faults that no verdict mends, and what is named instead", () => {
    const count = { won: 0, handed: 0, blamed: 0 }
    always("never-blamed", (findings, model, _, stands) => {
      const all = machines(model)
      const dead = (fault: number) =>
        all.length > 0 && all.every((machine) => against(model, fault, machine).length > 0)
      const lost: string[] = []
      for (const [fault, { name }] of model.faults.entries()) {
        if (dead(fault)) continue
        let mended = false
        let handed = 0
        let won = 0
        const winners = new Set<string>()
        for (const { node, state, reach } of stands) {
          const own = alive(state).filter((each) => each.fault === fault)
          const share = total(own) / total(state.hypotheses)
          if (node.do === "handover") handed += reach * share
          if (node.do !== "verdict" || own.length === 0) continue
          if (own.some((each) => sameRemedy(remedyFor(model, each), node.remedy))) mended = true
          won += reach * share
          for (const each of alive(state)) {
            if (sameRemedy(remedyFor(model, each), node.remedy)) winners.add(model.faults[each.fault]!.name)
          }
        }
        if (mended) {
          count.blamed++
          continue
        }
        lost.push(name)
        const finding = findings.find((each) => named(each)[0] === name)
        const [, ...others] = finding === undefined ? [] : named(finding)
        if (Math.abs(won - handed) < 1e-9 && won > 0) continue
        count[won > handed ? "won" : "handed"]++
        expect(others.length > 0, finding?.message).toBe(won > handed)
        for (const other of others) expect(winners).toContain(other)
      }
      expect(findings.map((each) => named(each)[0]).sort()).toEqual(lost.sort())
    })
    expect(count.won).toBeGreaterThan(30)
    expect(count.handed).toBeGreaterThan(30)
    expect(count.blamed).toBeGreaterThan(100)
  })

  test("tests that the plan never uses, though they can be done and tell something", () => {
    const count = { beaten: 0, blind: 0, used: 0 }
    always("beaten-test", (findings, model, _, stands) => {
      const every = steps(model)
      const all = machines(model)
      const used = new Set(stands.flatMap(({ node }) => (node.do === "test" ? [node.test] : [])))
      // Where no test waits, no machine is without a suspect and there is more than one, what tells something is certain.
      const open =
        all.length > 0 &&
        all.every((machine) =>
          model.faults.some((_, fault) => against(model, fault, machine).length === 0),
        ) &&
        new Set(model.faults.map(({ place }) => place)).size > 1 &&
        model.tests.every((each) => each.after.length === 0 && each.onlyIf === undefined)
      const beaten = findings.map((each) => named(each)[0])
      const occurs = ({ evidence }: State) =>
        all.some((machine) => [...evidence].every(([reading, cell]) => machine[reading] === cell))
      for (const [index, { name }] of model.tests.entries()) {
        if (used.has(index)) {
          count.used++
          expect(beaten).not.toContain(name)
          continue
        }
        const shifts = every?.some(
          ({ before, action, after }) =>
            action.test === index && occurs(before) && occurs(after) && moved(model, before, after),
        )
        if (shifts) {
          count.beaten++
          expect(beaten).toContain(name)
        } else if (every !== undefined && open) {
          count.blind++
          expect(beaten).not.toContain(name)
        }
      }
      for (const each of findings) {
        const [, instead] = named(each)
        if (instead !== undefined)
          expect(used).toContain(model.tests.findIndex(({ name }) => name === instead))
      }
    })

    expect(Math.min(count.beaten, count.used)).toBeGreaterThan(100)
    expect(count.blind).toBeGreaterThan(3)
  })

  test("steps after whose `gone` causes stay mixed up", () => {
    const count = { confounded: 0, clear: 0, separable: 0, hopeless: 0 }
    always(
      "confounded",
      (findings, model, plan, stands) => {
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
        expect(findings.map((each) => named(each)[0]).sort()).toEqual([...mixed.keys()].sort())
        for (const finding of findings) {
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

  test("ends that can only be handed over", () => {
    let count = 0
    always("no-way-on", (findings, model, plan, stands) => {
      const ends = plan.nodes.flatMap((node, index) => {
        const here = stands.filter((each) => each.index === index)
        const reach = sum(here.map((each) => each.reach))
        if (node.do !== "handover" || reach <= 0.01) return []
        if (verdicts(model, here[0]!.state).some(({ allowed }) => allowed)) return []
        return [{ reach, left: causesIn(here[0]!.state).map(({ fault }) => model.faults[fault]!.name) }]
      })
      count += ends.length
      const told = findings.map(({ message, help }) => ({
        reach: Number.parseFloat(message) / 100,
        left: [...help!.matchAll(/`(fault\d+)`/g)].map((match) => match[1]!),
      }))
      expect(told.length).toBe(ends.length)
      for (const { reach, left } of told) {
        // As many digits as are printed.
        const same = ends.filter((end) => Math.abs(end.reach - reach) < 0.0006)
        expect(same.map((end) => end.left.sort().join())).toContain([...new Set(left)].sort().join())
      }
    })
    expect(count).toBeGreaterThan(30)
  })

  test("a plan that was not proved best says so with every finding", () => {
    let count = 0
    fc.assert(
      fc.property(sketches({ ...tiny, tests: 4 }), (sketch) => {
        const model = modelOf(sketch)
        const plan = planFor(model, { effort: 2 })
        for (const { help } of checkPlan(model, plan)) {
          if (!plan.exact) count++
          expect(help?.includes("not proved best") ?? false).toBe(!plan.exact)
        }
      }),
      { numRuns: 300, seed: 12 },
    )
    expect(count).toBeGreaterThan(50)
  })
})

/** A `never` takes some value away altogether: an error by itself, and then a test may say less than its reading could. */
function barred(model: Model): boolean {
  const all = machines(model)
  return model.readings.some(({ cells }, r) => cells.some((_, cell) => all.every((each) => each[r] !== cell)))
}

/** Does a step shift any chance, of a fault or of its being cured? */
function moved(model: Model, before: State, after: State): boolean {
  const [was, is] = [belief(model, before), belief(model, after)]
  return model.faults.some(
    (_, fault) =>
      unlike(was.uncured[fault]!, is.uncured[fault]!) || unlike(was.cured[fault]!, is.cured[fault]!),
  )
}

interface Mixed {
  readonly stand: Stand
  readonly gone: Stand
  readonly causes: readonly Cause[]
}

interface Cause {
  readonly fault: number
  readonly share: number
  readonly likeliest: Hypothesis
}

/** Where the plan goes from here, for each thing that can be found. */
function after(
  model: Model,
  plan: Plan,
  { node, state, reach }: Stand,
  wanted: (found: readonly number[] | "gone" | "stays") => boolean = () => true,
): Stand[] {
  if (node.do !== "test") return []
  return outcomes(model, state, node)
    .filter(({ found }) => wanted(found))
    .map((each) => {
      const { to } = node.edges.find(({ outcome }) => sameFound(outcome, each.found))!
      return { node: plan.nodes[to]!, index: to, state: each.state, reach: reach * each.chance }
    })
}

function endsOf(model: Model, plan: Plan, stand: Stand): Stand[] {
  return stand.node.do === "test"
    ? after(model, plan, stand).flatMap((next) => endsOf(model, plan, next))
    : [stand]
}

function causesIn(state: State): Cause[] {
  const faults = [...new Set(alive(state).map(({ fault }) => fault))]
  return faults.map((fault) => {
    const own = alive(state).filter((each) => each.fault === fault)
    const likeliest = own.reduce((a, b) => (b.weight > a.weight ? b : a))
    return { fault, share: total(own) / total(state.hypotheses), likeliest }
  })
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
  { help = "" }: Finding,
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
