import { describe, expect, test } from "vitest"
import { type Act, open, RunError, reopen, type Session } from "../../compiler/run/index.ts"
import { kiosk, unplanned } from "./kiosk.ts"

const job = open(kiosk)
const free = open(unplanned)
const actsOf = (session: Session) => session.steps.map(({ act }) => act)
const said = (act: () => unknown): string => {
  try {
    act()
  } catch (error) {
    expect(error).toBeInstanceOf(RunError)
    return (error as Error).message
  }
  throw new Error("it was taken")
}

describe("the step to do", () => {
  test("says all that the bench needs to know", () => {
    expect(job.next).toMatchObject({
      by: "graph",
      do: "test",
      act: { test: "meter" },
      info: {
        instruction: "Meter the rail",
        needs: ["multimeter"],
        power: "on",
        cautions: ["Live plug: one hand, insulated probes."],
      },
      cautions: ["Live plug: one hand, insulated probes."],
      minutes: 4,
      cost: 4,
      tries: 0,
      reads: [{ name: "rail", unit: "V", from: 0, to: 30, by: 0.01 }],
    })
    const { next } = job
    if (!("outcomes" in next)) throw new Error("not an action")
    expect(next.outcomes.map(({ found, label }) => [found, label])).toEqual([
      [[0], "below 22.8 V"],
      [[1], "from 22.8 V"],
    ])
  })

  test("says what an action disturbs, what is in hand, what it may cure and what proof runs count", () => {
    const step = (act: Act, session = free) =>
      session.steps.find((each) => JSON.stringify(each.act) === JSON.stringify(act))!
    expect(step({ replace: "board" }).disturbs.map(({ name }) => name)).toEqual(["cover"])
    expect(step({ test: "without_board" })).toMatchObject({ parts: [{ name: "board" }], tries: 1 })
    expect(step({ replace: "supply" })).toMatchObject({
      cost: 70 + 12 + 6,
      waits: 60,
      place: { name: "supply" },
    })
    const fix = step({ fix: "ribbon_loose" })
    expect(fix.cures).toMatchObject([{ info: { name: "ribbon_loose", remedy: "Press both ends home." } }])
    const gone = free.find({ test: "reseat" }, "gone")
    expect(step({ close: true }, gone).proofRuns.map(({ text }) => text)).toEqual(["proof 0", "proof 1"])
    const other = free.find({ test: "close_cover" }, "gone")
    expect(step({ close: true }, other).proofRuns.map(({ text }) => text)).toEqual(["proof 0"])
  })

  test("follows the graph, whatever the order of what was read and told between two changes", () => {
    expect(job.answer("24.1 V").next.by).toBe("graph")
    expect(job.find({ reading: "rail" }, 24.1).next).toEqual(job.answer("24.1 V").next)
    expect(job.find({ test: "reseat" }, "stays").find({ test: "meter" }, 24.1).next.by).toBe("model")
    expect(job.cannot("meter").next).toMatchObject({ by: "model" })
    expect(job.cannot("meter").next).not.toMatchObject({ act: { test: "meter" } })
    // What cannot be done now may still be done later, elsewhere.
    expect(job.cannot("meter").find({ test: "meter" }, 24.1).next.by).toBe("graph")
  })

  test("lists all that may be done; what cannot be done here is left out", () => {
    const repairs = [{ replace: "panel" }, { replace: "supply" }, { replace: "board" }]
    expect(actsOf(free)).toEqual([
      ...["meter", "reseat", "try_panel", "without_board", "close_cover", "moved"].map((name) => ({
        test: name,
      })),
      ...repairs,
      ...["ribbon_loose", "cover_open", "board_shorted"].map((name) => ({ fix: name })),
    ])
    const fitted = free.find({ test: "try_panel" }, "gone")
    expect(actsOf(fitted)).toEqual(
      expect.arrayContaining([{ putBack: "panel" }, { keep: "panel" }, { look: true }]),
    )
    expect(actsOf(fitted)).not.toContainEqual({ takeOut: "panel" })
    expect(actsOf(fitted)).not.toContainEqual({ replace: "panel" })
    const left = free.find({ test: "try_panel" }, "stays", { leftIn: true })
    expect(actsOf(left)).toContainEqual({ takeOut: "panel" })
    expect(actsOf(free.cannot({ replace: "board" }))).not.toContainEqual({ replace: "board" })
  })
})

describe("why", () => {
  test("a rule, a finding, the complaint: each with its step", () => {
    const session = free.find({ test: "meter" }, "24.1 V").find({ test: "reseat" }, "gone")
    const out = new Map(session.candidates.map((each) => [each.info?.name, each.out]))
    expect(out.get("board_shorted")).toMatchObject({
      step: 0,
      by: "reading",
      text: "it never shows `rail` 24.1 V",
    })
    // Something not listed would have been seen again; with two faults a supply that is low is still possible.
    expect(session.candidates.find(({ info }) => !info)?.present).toBe(0)
    const supply = free.find({ test: "meter" }, 24.1).why("supply_low")
    expect(supply.out).toMatchObject([{ step: 0, by: "rule", rule: 0 }])
    expect(supply.out[0]?.text).toBe("a rail inside its limits clears the supply (line 31)")
    expect(supply.back).toEqual([0])
  })

  test("where no fault fits: the findings of which one may be wrong", () => {
    const never = free.find({ reading: "glow" }, "yes").find({ test: "meter" }, "12 V")
    expect(never.next).toMatchObject({ do: "handover", fits: false, by: "model" })
    if (never.next.do !== "handover") throw new Error("no handover")
    expect(never.next.atOdds.map(({ step }) => step)).toEqual([0, 1])
    expect(never.next.atOdds[0]!.faults.map(({ info }) => info?.name)).toContain("supply_low")
    expect(never.hypotheses).toEqual([])
    expect(never.undo(1).hypotheses).not.toEqual([])
  })
})

describe("taking back", () => {
  test("any one finding, the rest stays", () => {
    const all = free
      .find({ test: "moved" }, "yes")
      .find({ test: "meter" }, 24)
      .find({ test: "reseat" }, "stays")
    expect(all.undo(1).hypotheses).toEqual(
      free.find({ test: "moved" }, "yes").find({ test: "reseat" }, "stays").hypotheses,
    )
    expect(all.undo(0).undo(0).log).toEqual(free.find({ test: "reseat" }, "stays").log)
    expect(free.cannot("meter").undo(0).next).toEqual(free.next)
  })

  test("with a fitting goes what was done with the fitted part", () => {
    const back = free.find({ test: "try_panel" }, "gone").find({ putBack: "panel" }, "stays")
    expect(back.undo(0).log).toEqual([])
    expect(back.undo(1).standing.fitted).toMatchObject([{ name: "panel" }])
    const kept = free.find({ test: "try_panel" }, "gone").find({ keep: "panel" }, "done")
    expect(kept.undo(0).log).toEqual([])
  })
})

test("standing: what is in, what was redone, whether it is whole", () => {
  expect(free.standing).toEqual({ fitted: [], redone: [], gone: undefined, changed: false, whole: 0 })
  const { standing } = free.find({ test: "try_panel" }, "gone")
  expect(standing.fitted.map(({ name }) => name)).toEqual(["panel"])
  expect(standing.redone.map(({ name }) => name)).toEqual(["ribbon"])
  expect(standing).toMatchObject({ gone: true, changed: false })
  expect(standing.whole).toBeGreaterThan(0.5)
  expect(free.find({ test: "without_board" }, "gone").standing).toMatchObject({ gone: true, changed: true })
})

describe("a job is kept", () => {
  const session = free
    .find({ test: "moved" }, "yes")
    .find({ test: "meter" }, "24100 mV", { minutes: 5 })
    .cannot("reseat")
    .find({ test: "try_panel" }, "stays", { minutes: 20, leftIn: true })
    .find({ takeOut: "panel" }, "done")
    .find({ reading: "glow" }, "no")
    .find({ fix: "ribbon_loose" }, "gone")
    .find({ close: true }, "holds")
  const record = session.record({ id: "K-1", date: "2026-03-09", faults: ["ribbon_loose"], cameBack: false })

  test("as a record of plain JSON, with what was read as it was said", () => {
    expect(JSON.parse(JSON.stringify(record))).toEqual({
      id: "K-1",
      date: "2026-03-09",
      complaint: "dark",
      told: { moved: "yes" },
      steps: [
        { test: "meter", found: { rail: "24.1 V" }, minutes: 5 },
        { test: "try_panel", found: "stays", minutes: 20, leftIn: true },
        { takeOut: "panel", found: "done" },
        { reading: "glow", found: { glow: "no" } },
        { fix: "ribbon_loose", found: "gone" },
        { close: true, found: "holds" },
      ],
      faults: ["ribbon_loose"],
      came_back: false,
    })
  })

  test("and goes on from its log or its record", () => {
    const log = JSON.parse(JSON.stringify(session.log))
    expect(reopen(unplanned, log).log).toEqual(session.log)
    expect(reopen(unplanned, log).hypotheses).toEqual(session.hypotheses)
    const again = reopen(unplanned, JSON.parse(JSON.stringify(record)))
    expect(again.hypotheses).toEqual(session.hypotheses)
    expect(again.next).toEqual({ do: "end", closed: true, by: "model" })
  })

  test("a machine that came back starts from the record of its first job", () => {
    const back = reopen(unplanned, { ...record, came_back: true })
    expect(back.log.at(-1)).toEqual({ cameBack: true })
    expect(back.hypotheses).toEqual(session.cameBack().hypotheses)
    // Something is active after all, and what the first job struck stays struck.
    expect(back.standing).toMatchObject({ whole: 0, gone: undefined, redone: [] })
    expect(back.candidates.find(({ info }) => info?.name === "supply_low")?.present).toBe(0)
    expect(actsOf(back)).toContainEqual({ test: "meter" })
    expect(actsOf(back)).not.toContainEqual({ test: "moved" })
    expect(back.next.do).not.toBe("end")
    const second = back
      .find({ test: "try_panel" }, "gone")
      .find({ keep: "panel" }, "done")
      .record({ id: "K-2" })
    expect(second.steps).toHaveLength(2)
    expect(reopen(unplanned, record, second).hypotheses).toEqual(
      back.find({ test: "try_panel" }, "gone").find({ keep: "panel" }, "done").hypotheses,
    )
  })

  test("a log or record of another ruleset is refused", () => {
    expect(() => reopen(unplanned, [{ act: { test: "nothing" }, found: "gone" }])).toThrow(RunError)
    expect(() => reopen(unplanned, { id: "x" } as never)).toThrow(RunError)
  })
})

test("what cannot be taken is said in words, and the session goes on", () => {
  expect(said(() => job.answer("31 V"))).toBe("`rail` is a number from 0 to 30 V; `31 V` isn't.")
  expect(said(() => free.find({ test: "moved" }, "perhaps"))).toBe(
    "`moved` is `yes` or `no`; `perhaps` isn't.",
  )
  expect(said(() => free.find({ test: "reseat" }, "yes"))).toBe(
    "After `reseat` the answer is `gone` or `stays`.",
  )
  expect(said(() => free.find({ test: "look_both" }, "yes"))).toBe(
    "Give one value for each of `glow`, `rail`.",
  )
  expect(said(() => free.find({ test: "nothing" }, "yes"))).toBe(
    "There is no test `nothing` in this ruleset.",
  )
  expect(said(() => free.find({ putBack: "panel" }, "gone"))).toBe("No known-good `panel` is in the machine.")
  expect(said(() => free.find({ fix: "panel_dead" }, "gone"))).toBe(
    "The ruleset has no fix for `panel_dead`.",
  )
  expect(said(() => free.find({ replace: "ribbon" }, "gone"))).toBe("`ribbon` isn't a part.")
  const fitted = free.find({ test: "try_panel" }, "gone")
  expect(said(() => fitted.find({ test: "try_panel" }, "gone"))).toBe(
    "The known-good `panel` is in the machine.",
  )
  expect(said(() => fitted.find({ close: true }, "holds"))).toBe("The known-good `panel` is in the machine.")
  const told = free.find({ test: "moved" }, "yes")
  expect(said(() => told.find({ test: "moved" }, "no"))).toContain("take the answer back first")
  expect(said(() => free.cannot("rail"))).toBe("There is no test `rail` in this ruleset.")
  expect(said(() => free.undo(0))).toBe("There is no step 0.")
  expect(said(() => free.cameBack())).toBe("The job has not ended yet.")
  const ended = free.find({ handOver: true }, "done")
  expect(ended.next).toMatchObject({ do: "end", closed: false })
  expect(said(() => ended.find({ test: "meter" }, 24))).toBe("The job has ended.")
})
