import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { checkPlan } from "../../compiler/check/check.ts"
import type { Model } from "../../compiler/model/model.ts"
import { sameRemedy } from "../support/policies.ts"
import { belief, remedyFor, type State, total, verdicts } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"
import { against, machines } from "./brute.ts"
import { alive, always, anySketch, causesIn, named, sum } from "./paths.ts"
import { steps, unlike } from "./sequences.ts"
import { planFor } from "./text.ts"

describe("against every path of the plan", () => {
  test("faults that no verdict mends, and what is named instead", () => {
    const count = { won: 0, handed: 0, blamed: 0 }
    always("never-blamed", (diagnostics, model, _, stands) => {
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
        const finding = diagnostics.find((each) => named(each)[0] === name)
        const [, ...others] = finding === undefined ? [] : named(finding)
        if (Math.abs(won - handed) < 1e-9 && won > 0) continue
        count[won > handed ? "won" : "handed"]++
        expect(others.length > 0, finding?.message).toBe(won > handed)
        for (const other of others) expect(winners).toContain(other)
      }
      expect(diagnostics.map((each) => named(each)[0]).sort()).toEqual(lost.sort())
    })
    expect(count.won).toBeGreaterThan(30)
    expect(count.handed).toBeGreaterThan(30)
    expect(count.blamed).toBeGreaterThan(100)
  })

  test("tests that the plan never uses, though they can be done and tell something", () => {
    const count = { beaten: 0, blind: 0, used: 0 }
    always("beaten-test", (diagnostics, model, _, stands) => {
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
      const beaten = diagnostics.map((each) => named(each)[0])
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
      for (const each of diagnostics) {
        const [, instead] = named(each)
        if (instead !== undefined)
          expect(used).toContain(model.tests.findIndex(({ name }) => name === instead))
      }
    })

    expect(Math.min(count.beaten, count.used)).toBeGreaterThan(100)
    expect(count.blind).toBeGreaterThan(3)
  })

  test("ends that can only be handed over", () => {
    let count = 0
    always("no-way-on", (diagnostics, model, plan, stands) => {
      const ends = plan.nodes.flatMap((node, index) => {
        const here = stands.filter((each) => each.index === index)
        const reach = sum(here.map((each) => each.reach))
        if (node.do !== "handover" || reach <= 0.01) return []
        if (verdicts(model, here[0]!.state).some(({ allowed }) => allowed)) return []
        return [{ reach, left: causesIn(here[0]!.state).map(({ fault }) => model.faults[fault]!.name) }]
      })
      count += ends.length
      const told = diagnostics.map(({ message, help }) => ({
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
      fc.property(anySketch, (sketch) => {
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

/** Does a step shift any chance, of a fault or of its being cured? */
function moved(model: Model, before: State, after: State): boolean {
  const [was, is] = [belief(model, before), belief(model, after)]
  return model.faults.some(
    (_, fault) =>
      unlike(was.uncured[fault]!, is.uncured[fault]!) || unlike(was.cured[fault]!, is.cured[fault]!),
  )
}
