import { describe, expect, test } from "vitest"
import { open, RunError } from "../../compiler/run/index.ts"
import { bench } from "./bench.ts"

const job = open(bench)
const nameOf = (session: typeof job) => {
  const { next } = session
  return next.do === "test"
    ? `${next.by}: ${next.putBack ? `put back ${next.putBack}` : next.name}`
    : `${next.by}: ${next.do}`
}

describe("the step to do", () => {
  test("says all that the bench needs to know", () => {
    expect(job.next).toMatchObject({
      by: "graph",
      do: "test",
      name: "meter",
      instruction: "Meter the rail",
      kind: "reads",
      cautions: ["Live plug: one hand, insulated probes."],
      needs: ["multimeter"],
      power: "on",
      minutes: 4,
      cost: 4,
      reads: [{ name: "rail", unit: "V", from: 0, to: 30, by: 0.01 }],
    })
    const { next } = job
    if (next.do !== "test") throw new Error("not a test")
    expect(next.outcomes.map(({ found, label }) => [found, label])).toEqual([
      [[0], "below 22.8 V"],
      [[1], "from 22.8 V"],
    ])
    // 6 of 20 are the supply (0.9 low), the others read low in 0.03: (6 × 0.9 + 14 × 0.03) / 20, and no rule yet.
    // Right rails clear the supply: 14 × 0.97 against 5.82.
    const [low, right] = [6 * 0.9 + 14 * 0.03, 14 * 0.97]
    expect(next.outcomes[0]!.chance).toBeCloseTo(low / (low + right), 12)
  })

  test("follows the graph, whatever the order of what was read and told between two changes", () => {
    const low = job.answer("24.1 V")
    expect(nameOf(low)).toBe("graph: reseat")
    expect(nameOf(low.answer("stays"))).toBe("graph: try_panel")
    expect(nameOf(low.answer("stays").answer("gone"))).toBe("graph: put back panel")
    expect(nameOf(low.answer("gone"))).toBe("graph: verdict")
    // A reading that was learnt without the test that reads it leads to the same node.
    expect(nameOf(job.find("rail", 24.1))).toBe("graph: reseat")
  })

  test("is decided from the model where the findings are on no path of the graph", () => {
    // Reseated before metering: the reading is of another machine than the path's.
    expect(nameOf(job.find("reseat", "stays").find("meter", 24.1))).toMatch(/^model/)
    expect(nameOf(job.find("moved", "no"))).toMatch(/^model/)
    expect(nameOf(job.cannot("meter"))).toMatch(/^model: (?!meter)/)
    // Where the graph plans nothing.
    expect(nameOf(job.answer(24.1).answer("stays").answer("stays"))).toMatch(/^model/)
    // What cannot be done now may still be done later, elsewhere.
    expect(nameOf(job.cannot("meter").find("meter", 24.1))).toBe("graph: reseat")
  })

  test("lists all that may be done, and puts back what was fitted", () => {
    const names = (session: typeof job) => session.steps.map((step) => step.putBack ?? step.name)
    expect(names(job)).toEqual(["meter", "reseat", "try_panel", "moved"])
    const fitted = job.find("meter", 24).find("try_panel", "gone")
    expect(names(fitted)).toEqual(["reseat", "look_both", "moved", "panel"])
    expect(fitted.steps.at(-1)).toMatchObject({ name: "try_panel", cost: 18, putBack: "panel" })
    expect(names(fitted.cannot("try_panel"))).toEqual(["reseat", "look_both", "moved"])
    expect(names(fitted.find("panel", "gone"))).toEqual(["reseat", "look_both", "moved"])
  })

  test("a verdict names the faults it mends, and the proofs that apply", () => {
    const { next } = job.answer(24).answer("gone")
    expect(next).toMatchObject({ do: "verdict", remedy: { kind: "done" }, by: "graph" })
    if (next.do !== "verdict") throw new Error("no verdict")
    expect(next.faults.map(({ name }) => name)).toEqual(["ribbon_loose"])
    expect(next.faults[0]!.remedy).toBe("Press both ends home.")
    expect(next.proofs.map(({ text }) => text)).toEqual(["Power it up cold", "Tilt it while on"])
  })
})

describe("why", () => {
  test("a rule, a finding, the complaint: each with its step", () => {
    const { candidates } = job.answer("24.1 V").find("try_panel", "stays")
    const out = new Map(candidates.map((each) => [each.name, each.out]))
    expect(out.get("supply_low")).toEqual({
      step: 0,
      text: "a rail inside its limits clears the supply (line 31)",
    })
    expect(out.get("panel_dead")).toEqual({ step: 1, text: "the complaint would not stay" })
    expect(out.get("ribbon_loose")).toBeUndefined()
    const dark = job.find("glow", "yes").candidates.find(({ name }) => name === "panel_dead")
    expect(dark?.out).toEqual({ step: 0, text: "it never shows `glow` yes" })
  })

  test("where no fault fits: the findings that one of them may be wrong", () => {
    // A right rail clears the supply, and nothing but the supply is left after the others are mended in vain.
    const never = job.find("rail", 12).find("glow", "yes")
    expect(never.next).toMatchObject({ do: "handover", by: "model" })
    const { next } = never
    if (next.do !== "handover") throw new Error("no handover")
    expect(next.atOdds.map(({ step }) => step)).toEqual([0, 1])
    expect(next.atOdds[0]!.faults.map(({ name }) => name)).toEqual([
      "ribbon_loose",
      "supply_low",
      "cover_open",
    ])
    expect(next.atOdds[1]!.faults[0]!.out?.text).toBe("findings that cannot be")
    expect(never.chances.uncured).toEqual([0, 0, 0, 0])
    expect(never.candidates.every(({ chance, out }) => chance === 0 && out)).toBe(true)
  })
})

describe("taking back", () => {
  test("any one finding, the rest stays", () => {
    const all = job.find("moved", "yes").find("meter", 24).find("reseat", "stays")
    expect(all.undo(1).chances).toEqual(job.find("moved", "yes").find("reseat", "stays").chances)
    expect(all.undo(0).undo(0).log).toEqual(job.find("reseat", "stays").log)
    expect(all.undo(2).next).toEqual(job.find("moved", "yes").find("meter", 24).next)
    expect(job.cannot("meter").undo(0).next).toEqual(job.next)
  })

  test("with a fitting goes its putting back; without it the part is in again", () => {
    const back = job.find("try_panel", "gone").find("panel", "stays")
    expect(back.undo(0).log).toEqual([])
    expect(back.undo(1).standing.fitted).toMatchObject([{ name: "panel" }])
    expect(back.standing.fitted).toEqual([])
  })
})

test("standing: what is in, what was redone, what may be the cure", () => {
  expect(job.standing).toEqual({ fitted: [], redone: [], changed: [], doubt: undefined })
  const { standing } = job.find("meter", 24).find("try_panel", "gone")
  expect(standing.fitted.map(({ name }) => name)).toEqual(["panel"])
  expect(standing.redone.map(({ name }) => name)).toEqual(["ribbon"])
  expect(standing.changed.map(({ name }) => name)).toEqual(["ribbon", "panel"])
  // Uncured in the panel 3; cured in the ribbon 9 × 0.85; loose still and not seen 9 × 0.15 × 0.3.
  const [panel, ribbon, still] = [3, 9 * 0.85, 9 * 0.15 * 0.3]
  const sum = panel + ribbon + still
  expect(standing.doubt?.explanations.map(({ name }) => name)).toEqual(["ribbon", "panel"])
  expect(standing.doubt?.explanations[0]?.chance).toBeCloseTo(ribbon / sum, 12)
  expect(standing.doubt?.still).toBeCloseTo(still / sum, 12)
  expect(standing.doubt?.text).toContain("panel ribbon seating, display panel")
  const seen = job.find("try_panel", "stays").standing
  expect([seen.changed, seen.redone.length, seen.doubt]).toEqual([[], 1, undefined])
})

test("a record is a case of plain JSON, with what was read as it was said", () => {
  const session = job
    .find("moved", "yes")
    .find("meter", "24100 mV", 5)
    .cannot("reseat")
    .find("try_panel", "gone", 20)
    .find("panel", "stays", 12)
    .find("glow", "no")
  const record = session.record({
    id: "K-1",
    date: "2026-03-09",
    fault: "panel_dead",
    confirmed: "soak",
    came_back: false,
  })
  expect(JSON.stringify(record)).toBe(
    '{"id":"K-1","date":"2026-03-09","complaint":"dark","told":{"moved":"yes"},"steps":[' +
      '{"test":"meter","found":{"rail":"24.1 V"},"minutes":5},{"test":"try_panel","found":"gone","minutes":20},' +
      '{"putBack":"panel","found":"stays","minutes":12},{"found":{"glow":"no"}}],' +
      '"fault":"panel_dead","confirmed":"soak","came_back":false}',
  )
})

describe("what cannot be taken", () => {
  const said = (act: () => unknown): string => {
    try {
      act()
    } catch (error) {
      expect(error).toBeInstanceOf(RunError)
      return (error as Error).message
    }
    throw new Error("it was taken")
  }

  test("is said in words, and the session goes on", () => {
    expect(said(() => job.answer("31 V"))).toBe("`rail` is a number from 0 to 30 V; `31 V` is not.")
    expect(said(() => job.answer("5 A"))).toBe("`rail` is a number from 0 to 30 V; `5 A` is not.")
    expect(said(() => job.find("moved", "perhaps"))).toBe("`moved` is `yes` or `no`; `perhaps` is not.")
    expect(said(() => job.find("reseat", "yes"))).toBe(
      "After `reseat` the complaint is `gone` or it `stays`.",
    )
    expect(said(() => job.find("look_both", "yes"))).toBe("One value is wanted for each of `glow`, `rail`.")
    expect(said(() => job.find("look_both", { glow: "yes", rial: 3 }))).toContain("`glow`, `rail`")
    expect(said(() => job.find("nothing", "yes"))).toContain("`nothing` is no test, reading or fitted part")
    expect(said(() => job.answer(24).find("meter", 24))).toContain("`meter`")
    expect(said(() => job.find("panel", "gone"))).toContain("`panel`")
    expect(said(() => job.cannot("rail"))).toBe("`rail` is no test.")
    expect(said(() => job.undo(0))).toBe("There is no step 0.")
    expect(said(() => job.answer(24).answer("gone").answer("yes"))).toContain("is no test")
    expect(nameOf(job)).toBe("graph: meter")
  })
})
