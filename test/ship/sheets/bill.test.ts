import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { makePlanner } from "../../../compiler/plan/planner.ts"
import { type Graph, open, type Session } from "../../../compiler/run/index.ts"
import { machineOf } from "../../../compiler/run/machine.ts"
import { Bills, passes, spentIn } from "../../../compiler/ship/sheets/bill.ts"
import { MoneySpread } from "../../../compiler/ship/sheets/money-spread.ts"
import { leavingIndex } from "../../cases/small-machine.ts"
import { graphOf } from "../../support/graphs.ts"
import { solvedModels } from "../../support/solved.ts"

describe("how money is spread", () => {
  const amounts = fc.double({ min: 0, max: 500, noNaN: true })

  test("means add up exactly, and percentiles lie within two ranges", () => {
    fc.assert(
      fc.property(fc.array(amounts, { minLength: 1, maxLength: 6 }), amounts, (all, further) => {
        const nothing = MoneySpread.nothing(100)
        const chance = 1 / all.length
        const spread = nothing
          .mixed(all.map((each) => ({ chance, spread: nothing.plus(each) })))
          .plus(further)
        const mean = all.reduce((sum, each) => sum + each, 0) / all.length + further
        expect(spread.mean).toBeCloseTo(mean, 6)
        // A share between two of the amounts, so that rounding doesn't decide.
        const sorted = all.toSorted((a, b) => a - b)
        const middle = Math.floor(all.length / 2)
        const wanted = sorted[middle]! + further
        expect(Math.abs(spread.percentile((middle + 0.5) * chance) - wanted)).toBeLessThan(2 * (100 / 400))
      }),
    )
  })
})

/** Tiny models with whole plans, of which every job can be listed. */
const planned = solvedModels(12).map(({ model }) => {
  const planner = makePlanner(model, { gap: 0, mass: 0 })
  while (!planner.progress.done) planner.advance(1000)
  return graphOf(model, planner.plan())
})

/** Every way in which a job can go on by the plan, with its chance. */
function* jobs(session: Session, chance = 1): Generator<{ session: Session; chance: number }> {
  const { next } = session
  if ("outcomes" in next)
    for (const { found, chance: part } of next.outcomes) yield* jobs(session.answer(found), chance * part)
  else yield { session, chance }
}

test("the bill that is expected is what all ways of the job come to, and so are nine bills in ten", () => {
  for (const graph of planned) {
    const job = open(graph)
    const bill = new Bills(graph).of(job)
    const { total, comebacks, handover } = graph.expected
    expect(bill.expected).toBeCloseTo(total - comebacks - handover, 6)
    const ways = [...jobs(job)].map(({ session, chance }) => ({
      cost: spentIn(machineOf(graph), session.log),
      chance,
    }))
    expect(ways.reduce((sum, { chance, cost }) => sum + chance * cost, 0)).toBeCloseTo(bill.expected, 6)
    const below = (limit: number) =>
      ways.reduce((sum, { chance, cost }) => sum + (cost <= limit ? chance : 0), 0)
    const margin = graph.expected.total / 25
    expect(below(bill.high! + margin)).toBeGreaterThanOrEqual(0.9 - 1e-9)
    expect(below(bill.high! - margin)).toBeLessThanOrEqual(0.9 + 1e-9)
  }
})

test("along a job what was spent and what is to come stay the bill, whatever is found", () => {
  for (const graph of planned.slice(0, 6)) {
    const bills = new Bills(graph)
    const from = (session: Session): void => {
      const { next } = session
      if (!("outcomes" in next)) return
      const after = next.outcomes.map(({ found, chance }) => ({ session: session.answer(found), chance }))
      const mean = after.reduce((sum, each) => sum + each.chance * bills.of(each.session).expected, 0)
      expect(mean).toBeCloseTo(bills.of(session).expected, 6)
      for (const each of after) from(each.session)
    }
    from(open(graph))
  }
})

test("a part that was put back where the plan leaves it in can be replaced, and the bill has it", () => {
  const { graph } = leavingIndex
  const job = open(graph)
  expect(job.next).toMatchObject({ act: { test: "try_board" }, leaveIn: true })
  const back = job.answer("stays", { leftIn: false })
  const { cost, lookCost } = back.steps.find(({ act }) => "replace" in act && act.replace === "board")!
  const bills = new Bills(graph)
  const before = bills.of(back).spent
  expect(bills.of(back.find({ replace: "board" }, "gone")).spent).toBeCloseTo(before + cost + lookCost, 6)
})

test("what passes the owner's limit first is said first", () => {
  const bill = { spent: 50, expected: 100, high: 180, waits: 0 }
  expect([40, 90, 150, 200].map((limit) => passes(bill, limit))).toEqual([
    "spent",
    "expected",
    "high",
    undefined,
  ])
  expect(passes({ ...bill, high: undefined }, 150)).toBeUndefined()
})

test("off the plan the bill is an estimate, and minutes that were noted count", () => {
  const graph: Graph = planned.find(
    ({ tests, bench }) => bench > 0 && tests.some(({ kind }) => kind === "redoes"),
  )!
  const { name } = graph.tests.find(({ kind }) => kind === "redoes")!
  const job = open(graph).cannot(name)
  const [plain, slow] = [undefined, 60].map((minutes) => {
    const step = open(graph).steps.find((each) => "test" in each.act && each.act.test === name)!
    const found = step.outcomes[0]!.found
    return spentIn(
      machineOf(graph),
      open(graph).find({ test: name }, found, minutes === undefined ? {} : { minutes }).log,
    )
  })
  expect(spentIn(machineOf(graph), job.log)).toBe(0)
  expect(slow).not.toBe(plain)
})
