import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { checkPlan } from "../../compiler/check/check.ts"
import { hangsOnOne } from "../../compiler/check/codes/hangs-on-one.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { startCompile } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { type RuleIndex, tableOf } from "../../compiler/run/indexes.ts"
import { evaluate } from "../support/policies.ts"
import { type Action, actions, best, outcomes, type State, start } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"
import { against, machines, states } from "./brute.ts"
import { always, anySketch, named, type Stand, sum } from "./paths.ts"
import { codesIn, modelFrom, planFor } from "./text.ts"

/** Chance that this fault is in the machine and cured. */
const curedChance = (fault: number, { hypotheses }: State) =>
  sum(hypotheses.map(({ cured, weight }) => (cured.includes(fault) ? weight : 0)))

/** Faults that this action cures in some machine that can be here. */
function curedBy(model: Model, state: State, action: Action): number[] {
  const next = outcomes(model, state, action)
  return [...model.faults.keys()].filter((fault) => {
    const now = sum(next.map((each) => each.chance * curedChance(fault, each.state)))
    return now > curedChance(fault, state) + 1e-9
  })
}

const doing = ({ node }: Stand): Action => node as Action

describe("against every path of the plan", () => {
  test("faults that no action cures", () => {
    const count = { lost: 0, repaired: 0, handed: 0 }
    always("never-blamed", (diagnostics, model, _, stands) => {
      const all = machines(model)
      const dead = (fault: number) =>
        all.length > 0 &&
        states(model)
          .filter((state) => state.includes(fault))
          .every((state) => all.every((machine) => against(model, state, machine).length > 0))
      const cured = new Set(
        stands
          .filter(({ node }) => node.do !== "handover")
          .flatMap((stand) => curedBy(model, stand.state, doing(stand))),
      )
      // Which test fitted a part is not in the plan, so that a put back may be taken for one that cures more.
      const vague = stands.some(({ node }) => node.do === "putBack")
      const lost = diagnostics.map((each) => named(each)[0])
      const quiet: number[] = []
      for (const [fault, { name, place }] of model.faults.entries()) {
        if (lost.includes(name)) {
          count.lost++
          expect(cured.has(fault), name).toBe(false)
          expect(dead(fault)).toBe(false)
        } else if (cured.has(fault)) count.repaired++
        else if (
          model.places[place]!.kind === "part" &&
          !vague &&
          machines(model).length > 0 &&
          !dead(fault)
        ) {
          count.handed++
          if (!isHandedOver(model, fault)) quiet.push(fault)
        }
      }
      const rare = start(model).hypotheses.filter(({ faults }) => faults.some((each) => quiet.includes(each)))
      expect(sum(rare.map(({ weight }) => weight))).toBeLessThanOrEqual(0.01)
    })
    expect(count.lost).toBeGreaterThan(15)
    expect(count.repaired).toBeGreaterThan(50)
    expect(count.handed).toBeGreaterThan(10)
  }, 240_000)

  test("jobs that are handed over although nothing that is open would be trusted", () => {
    let count = 0
    always("no-way-on", (diagnostics, model, plan, stands) => {
      for (const { message } of diagnostics) {
        count++
        const reach = Number.parseFloat(message) / 100
        const nodes = [...plan.nodes.entries()].filter(
          ([, node]) => node.do === "handover" && Math.abs(node.reach - reach) < 0.0006,
        )
        const honest = nodes.some(([index]) => {
          const here = stands.filter((each) => each.index === index)
          return here.every(({ state }) => bestCure(model, state) < Math.max(model.ruleset.trust, 1e-12))
        })
        expect(honest, message).toBe(true)
      }
    })
    expect(count).toBeGreaterThan(10)
  }, 240_000)

  test("tests that the plan never uses", () => {
    const count = { beaten: 0, used: 0 }
    always("beaten-test", (diagnostics, model, _, stands) => {
      const used = new Set(stands.flatMap(({ node }) => (node.do === "test" ? [node.test] : [])))
      const beaten = diagnostics.map((each) => named(each)[0])
      for (const [index, { name }] of model.tests.entries()) {
        if (used.has(index)) count.used++
        if (beaten.includes(name)) {
          count.beaten++
          expect(used.has(index)).toBe(false)
        }
      }
      for (const each of diagnostics) {
        const [, instead] = named(each)
        if (instead !== undefined)
          expect(used).toContain(model.tests.findIndex(({ name }) => name === instead))
      }
    })
    expect(Math.min(count.beaten, count.used)).toBeGreaterThan(50)
  }, 240_000)

  test("a plan that was not proved best says so with every problem", () => {
    let count = 0
    fc.assert(
      fc.property(anySketch, (sketch) => {
        const plan = planFor(modelOf(sketch), { effort: 2 })
        for (const { code, help } of checkPlan(modelOf(sketch), plan, { cannot: 200 })) {
          if (!plan.exact) count++
          if (code !== "hangs-on-one") expect(help?.includes("not proved best") ?? false).toBe(!plan.exact)
        }
      }),
      { numRuns: 150, seed: 12 },
    )
    expect(count).toBeGreaterThan(30)
  }, 240_000)

  test("plans without a test are made where there is time for them, not while somebody types", () => {
    const text = `${FRAME}\n${hangsOnOne.example}\n`
    const read = (path: string) => (path === "one.ruleout" ? text : undefined)
    const compiling = startCompile("one.ruleout", read, { effort: 400 })
    compiling.advance(Number.POSITIVE_INFINITY)
    expect(codesIn([...compiling.finish().diagnostics])).not.toContain("hangs-on-one")
    expect(codesIn([...compiling.finish({ hasTime: true }).diagnostics])).toContain("hangs-on-one")
  })

  test("what becomes of the jobs without a test is what the reference says of the plan without it", () => {
    const text = `${FRAME}\n${hangsOnOne.example}\n`
    const model = modelFrom(text)
    const [problem] = checkPlan(model, planFor(model, { effort: 400 }), { cannot: 400 }).filter(
      ({ code }) => code === "hangs-on-one",
    )
    const [name] = named(problem!)
    expect(name).toBe("look_lean")
    const without = modelFrom(
      text
        .split("\n")
        .filter((line) => !line.startsWith(`test ${name} `))
        .join("\n"),
    )
    const { handedOver } = evaluate(without, planFor(without, { effort: 200, mass: 0 }))
    expect(handedOver).toBeGreaterThan(0.25)
    expect(Number.parseFloat(/, ([\d.]+) % of the jobs/.exec(problem!.message)![1]!) / 100).toBeCloseTo(
      handedOver,
      1,
    )
  }, 240_000)
})

/** Does even somebody hand the machine over who knows that it has just this fault, and closes only what is surely whole? */
function isHandedOver(model: Model, fault: number): boolean {
  const known = {
    ...model,
    rules: tableOf<RuleIndex, never>([]),
    nevers: [],
    ruleset: { ...model.ruleset, trust: 1 },
  }
  const state = start(known)
  const alone = { faults: [fault], cured: [], weight: 1, takings: [], struckBy: [] }
  return best(known, { ...state, hypotheses: [alone] }) > model.ruleset.handover - 1e-9
}

/** The best chance that one open action leaves nothing in the machine, by the reference. */
function bestCure(model: Model, state: State): number {
  const clean = ({ hypotheses }: State) =>
    sum(
      hypotheses
        .filter(({ faults, cured }) => faults.length > 0 && cured.length === faults.length)
        .map(({ weight }) => weight),
    )
  const open = actions(model, state).filter(({ do: what }) =>
    ["test", "keep", "replace", "fix"].includes(what),
  )
  return Math.max(
    0,
    ...open.map((action) =>
      sum(outcomes(model, state, action).map((each) => each.chance * clean(each.state))),
    ),
  )
}
