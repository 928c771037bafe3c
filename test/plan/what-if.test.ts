import { describe, expect, test } from "vitest"
import { analyse, compile } from "../../compiler/compile.ts"
import { explain } from "../../compiler/graph/explain.ts"
import { makePlan } from "../../compiler/plan/planner.ts"
import { suppose } from "../../compiler/what-if.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"

// "Part or seat" of the examples worked by hand (reference, "What a ruleset means"), with a proof run of 2 min.
const text = `
ruleset seat_or_part "Seat or part"
  money EUR
  bench 60 per hour
  comeback costs 50
  handover costs 1000
part p "part" price 100 spare
setup s "its seat" of p
complaint c "it does not work"
fault dead "part dead" in p odds 1
fault loose "seat loose" in s odds 1
test try_p "Fit the known-good part" swaps p takes 10 min power off
test reseat_s "Seat it again" redoes s takes 2 min power off
proof "Start it" times 2 takes 1 min
`
const read = () => text

describe("what if", () => {
  const { trees, sources } = analyse("seat.ruleout", read)
  const total = (words: string) => {
    const { model, diagnostics } = suppose(trees, sources, words)
    expect(diagnostics).toEqual([])
    return makePlan(model!).expected.total
  }

  test("the plan that stands costs 57 and the proof run", () => {
    expect(compile("seat.ruleout", read).plan!.expected.total).toBeCloseTo(57 + 2, 9)
  })

  test("a slower reseat costs by its minutes, until another way is cheaper", () => {
    expect(total("test reseat_s takes 5 min")).toBeCloseTo(60 + 2, 9)
    // try_p and put back: 20; then half of the time 110 for another one.
    expect(total("test reseat_s takes 60 min")).toBeCloseTo(75 + 2, 9)
    expect(total("test reseat_s takes 60 min tries 2")).toBeCloseTo(75 + 2, 9)
  })

  test("clauses of the ruleset and of faults are taken without the rest of the declaration", () => {
    expect(total("bench 30 per hour")).toBeCloseTo(1 + 105 / 2 + 1, 9)
    expect(total("fault loose odds 3")).toBeCloseTo(2 + 110 / 4 + 2, 9)
    expect(total("handover costs 1 bench 600 per hour comeback costs 5")).toBeCloseTo(1, 9)
  })

  test.each([
    ["", "The ruleset has no such declaration. Write its keyword, its name and the clauses to change"],
    ["part nothing spare", "The ruleset has no such declaration."],
    ["part p sprae", "`sprae` isn't a keyword; `spare` is."],
    ['part p spare part q "more"', "Only one declaration can be changed at a time."],
  ])("%j is refused with a reason", (words, reason) => {
    const { model, diagnostics } = suppose(trees, sources, words)
    expect(model).toBeUndefined()
    expect(diagnostics[0]!.message).toContain(reason)
  })

  test("what it makes wrong is said, like any other mistake", () => {
    expect(suppose(trees, sources, "fault loose odds 0").diagnostics.map((f) => f.code)).toEqual([
      "out-of-range",
    ])
  })
})

describe("why a step comes where it does", () => {
  test("names the step, what it leaves, and what the next best would cost", () => {
    const { model, plan } = compile("seat.ruleout", read)
    const lines = explain(model!, plan!).map(({ reach, step, text }) => [reach, step, text])
    expect(lines[0]).toEqual([
      1,
      "reseat_s",
      "2.00 EUR; gone (50 %) leaves nothing wrong, stays (50 %) leaves dead 100 %; fix loose would do as well",
    ])
    expect(lines.map(([reach]) => reach)).toEqual([1, ...lines.slice(1).map(() => 0.5)])
  })

  test("a look that only adds its cost is no next best", () => {
    const { model, plan } = compile("kiosk.ruleout", () => KIOSK_DARK, { effort: 8000 })
    const steps = explain(model!, plan!)
    const lines = steps.map(({ text }) => text)
    // Each stands under the finding that leads to it, the likelier way first.
    expect(steps[0]).toMatchObject({ step: "look_glow", after: "", depth: 0 })
    expect(steps[1]).toMatchObject({ step: "meter_rail", after: "glow yes", depth: 1 })
    const others = steps.filter(({ depth }) => depth === 1).slice(1)
    expect(others.map(({ after }) => after)).toEqual(["glow no"])
    steps.slice(1).forEach(({ depth }, i) => {
      expect(depth).toBeLessThanOrEqual(steps[i]!.depth + 1)
    })
    // To ask whether it was moved changes nothing that follows: its 0.40 EUR would come on top, at every step. To look
    // again costs nothing, as a try of this complaint takes no time.
    expect(lines.filter((line) => line.includes("moved instead"))).toEqual([])
    expect(lines.filter((line) => line.includes("look again instead"))).toEqual([])
    expect(lines.filter((line) => line.includes("look again would do as well"))).toEqual([])
    expect(lines[0]).toMatch(/ instead would cost \d+\.\d\d EUR more$/)
  })
})
