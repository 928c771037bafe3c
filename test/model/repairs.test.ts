import { describe, expect, test } from "vitest"
import { writeModel } from "../../compiler/graph/model.ts"
import { bind } from "../../compiler/model/bind.ts"
import type { Model } from "../../compiler/model/model.ts"
import { cureChance, fixWork, replaceWork, waitingCost, workCost } from "../../compiler/model/repairs.ts"
import type { Table } from "../../compiler/run/indexes.ts"
import { lookUp } from "../../compiler/run/lookup.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"

function modelOf(clauses: string, rest: string): Model {
  const { tree } = parse(
    "main.ruleout",
    `ruleset r "R" bench 30 per hour ${clauses} complaint dark "dark" ${rest}`,
  )
  return bind([tree]).model!
}

const namesOf = <I extends number>(list: Table<I, { readonly name: string }>) =>
  new Map(list.map(({ name }, i) => [name, i]))
const fault = (model: Model, name: string) => lookUp(namesOf(model.faults), name)
const part = (model: Model, name: string) => lookUp(namesOf(model.places), name)

describe("what it takes to fit a bought part", () => {
  const model = modelOf(
    "waiting 12 per hour",
    `part said "s" spare fit takes 5 min fit waits 2 h  part swapped "w" spare  part both "b" spare  part bare "b"
    fault f "f" in said odds 1 fault g "g" in swapped odds 1 fault h "h" in both odds 1 fault i "i" in bare odds 1
    test try_said "t" swaps said takes 1 min
    test slow "t" swaps swapped takes 20 min costs 1 risks said 50%
    test late "t" swaps swapped takes 4 min waits 1 h
    test double "t" swaps swapped, both takes 1 min`,
  )

  test("is its `fit` clause, whatever a test takes", () => {
    expect(replaceWork(model, part(model, "said"))).toEqual({ minutes: 5, costs: 0, waits: 120 })
  })

  test("else that of the cheapest test that swaps it alone, waiting counted, risks not", () => {
    // 20 min at 30 per hour and 1 is 11; 4 min and an hour of waiting at 12 is 14.
    expect(replaceWork(model, part(model, "swapped"))).toEqual({ minutes: 20, costs: 1, waits: 0, test: 1 })
  })

  test("else nothing", () => {
    for (const name of ["both", "bare"])
      expect(replaceWork(model, part(model, name))).toEqual({ minutes: 0, costs: 0, waits: 0 })
  })

  test("costs its time at the bench rate and its money, and its waiting apart", () => {
    const work = { minutes: 90, costs: 7, waits: 30 }
    expect([workCost(model, work), waitingCost(model, work.waits)]).toEqual([52, 6])
  })
})

describe("what it takes to fix a fault", () => {
  const model = modelOf(
    "",
    `part box "b"  setup lid "l" redo cures 50%  setup tray "t" behind lid redo cures 25%  setup stuck "s" redo cures 0%
    setup far "f"
    fault dead "d" in box odds 1
    fault mended "m" in box odds 1 fix takes 6 min fix costs 2 fix waits 30 min
    fault loose "l" in lid odds 1
    fault skew "s" in tray odds 1 eased by lid 20%
    fault gone "g" in stuck odds 1
    fault lost "l" in far odds 1
    fault patched "p" in far odds 1 fix costs 0
    test sure "t" redoes lid 100% takes 20 min
    test quick "t" redoes lid takes 6 min costs 1 waits 10 min
    test do_tray "t" redoes tray takes 5 min
    test useless "t" redoes stuck takes 1 min`,
  )
  const work = (name: string) => fixWork(model, fault(model, name))

  test("is the work of that test, of which the graph says which it is; a clause is nobody's", () => {
    const { fix, replace } = writeModel(model)
    expect(fix[fault(model, "loose")]).toEqual({ minutes: 12, cost: 8, waits: 20, test: 1 })
    expect(fix[fault(model, "mended")]).toEqual({ minutes: 6, cost: 5, waits: 30 })
    expect(replace[part(model, "box")]).toEqual({ minutes: 0, cost: 0, waits: 0 })
  })

  test("is its `fix` clause, be it of no cost", () => {
    expect(work("mended")).toEqual({ minutes: 6, costs: 2, waits: 30 })
    expect(work("patched")).toEqual({ minutes: 0, costs: 0, waits: 0 })
  })

  test("else that of the test that redoes its setup by name at the least cost for its chance", () => {
    // sure: 10 at the bench; quick: 4 with a half.
    expect(work("loose")).toEqual({ minutes: 12, costs: 2, waits: 20, test: 1 })
    // The tray cures it with a quarter; the lid, redone on the way, eases it with a fifth: 1 − 0.75 · 0.8.
    expect(cureChance(model, model.tests[2]!, fault(model, "skew"))).toBeCloseTo(0.4, 12)
    expect(work("skew")!.minutes).toBeCloseTo(12.5, 12)
  })

  test("there is none for a fault in a part, in a setup that no test names, or that no test can cure", () => {
    expect(["dead", "gone", "lost"].map(work)).toEqual([undefined, undefined, undefined])
  })
})
