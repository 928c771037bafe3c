import { describe, expect, test } from "vitest"
import { reportPage } from "../../../compiler/cases/report/render-html.ts"
import { renderReport } from "../../../compiler/cases/report/render-text.ts"
import { board, index, leavingIndex, panel, report, reportOf, sureIndex, walked } from "../small-machine.ts"

const glow = (found: "yes" | "no", minutes?: number) => ({ test: "look_glow", found, minutes })
const closed = { close: true, found: "holds" }

describe("a walk follows the record", () => {
  test("a swap that cured by reseating is closed once the old part is back", () => {
    const steps = [
      glow("yes"),
      { test: "try_board", found: "gone" },
      { putBack: "board", found: "gone", minutes: 18 },
      closed,
    ]
    const { ending, inferred, spent } = walked({ steps, faults: ["seat_loose"] })
    expect(ending).toEqual({ kind: "closed", whole: 1, fixed: true })
    expect(inferred).toBe(0)
    expect(spent).toMatchObject({ minutes: 1 + 20 + 18 + 5, money: 44, bought: [], inVain: 0 })
  })

  test("what follows surely from the confirmed fault is inferred and counted, repairs and proof run too", () => {
    const seat = walked({ steps: [glow("yes")], fault: "seat_loose" })
    expect(seat.ending).toMatchObject({ kind: "closed", fixed: true })
    expect(seat.inferred).toBe(3)
    const dead = walked({ steps: [glow("yes")], fault: "board_dead" })
    expect(dead.ending).toMatchObject({ kind: "closed", fixed: true })
    expect(dead.inferred).toBe(4)
    // Look, try, put back, fit the new one as the cheapest swap does, proof run; and the price.
    expect(dead.spent).toMatchObject({
      minutes: 1 + 20 + 20 + 20 + 5,
      money: 66 + 100,
      bought: [board],
      inVain: 0,
    })
  })

  test("the order of the record does not matter as long as the machine is the same", () => {
    const steps = [{ test: "redo_lid", found: "stays" }, { test: "try_board", found: "gone" }, glow("yes")]
    // A healthy board glows like one whose seat was loose: the reading counts, though taken after the cure.
    expect(walked({ steps, fault: "seat_loose" }).ending).toMatchObject({ kind: "closed", fixed: true })
    // A dead panel does not: after the panel was exchanged a glow says nothing of before.
    const steps2 = [{ test: "try_panel", found: "gone" }, glow("yes"), { putBack: "panel", found: "stays" }]
    expect(walked({ steps: steps2, fault: "panel_dead" })).toMatchObject({
      ending: { kind: "open" },
      open: { action: { do: "test", test: 0 } },
    })
  })

  test("a part bought in which nothing was wrong is bought in vain", () => {
    const { ending, spent } = walked({ steps: [glow("no")], fault: "board_dead" })
    expect(ending).toMatchObject({ kind: "handover", rightly: false })
    expect(spent).toMatchObject({ bought: [panel], inVain: 1, inVainMoney: 200 })
  })

  test("of two faults one repair leaves the other, which a proof run shows", () => {
    const both = ["board_dead", "seat_loose"]
    const { ending, inferred, spent } = walked({ steps: [glow("yes")], faults: both })
    // The known-good board cures both: its seat is redone on the way, and the new one goes in for good.
    expect(ending).toEqual({ kind: "closed", whole: 1, fixed: true })
    expect([inferred, spent.bought]).toEqual([4, [board]])
    const apart = walked({
      steps: [glow("yes"), { test: "redo_lid", found: "stays" }],
      faults: ["board_dead", "lid_open"],
    })
    // With the good board in, the lid still keeps it dark; nothing else is tried but the lid.
    expect(apart.ending).toMatchObject({ kind: "handover", suspected: true })
  })

  test("a job that nobody listed stays as it is, and is handed over rightly", () => {
    const { ending, inferred } = walked({ steps: [glow("yes")], faults: ["unlisted"] })
    expect(ending).toMatchObject({ kind: "handover", rightly: true, suspected: false })
    expect(inferred).toBe(2)
    // Where the record saw it go, nothing is sure any more.
    const steps = [glow("yes"), { test: "try_board", found: "gone" }]
    expect(walked({ steps, faults: ["unlisted"] }).ending.kind).toBe("open")
  })

  test("a technician's mistake leads the walk astray, and is said", () => {
    const steps = [glow("yes"), { test: "try_board", found: "stays" }, { test: "redo_lid", found: "stays" }]
    expect(walked({ steps, fault: "board_dead" }).ending).toMatchObject({
      kind: "handover",
      suspected: false,
    })
    const { mistakes } = report({ steps, fault: "board_dead", came_back: true })
    expect(mistakes).toEqual([
      {
        id: "K-1",
        line: 1,
        cameBack: true,
        fault: "board_dead",
        cause: "look",
        chance: 1,
        found: "`dark` stays after `try_board`",
        onWalk: true,
      },
    ])
  })

  test("parts that are left in, kept and taken out", () => {
    const kept = walked({ steps: [], fault: "board_dead" }, leavingIndex)
    expect(kept.ending).toMatchObject({ kind: "closed", fixed: true })
    expect(kept.spent).toMatchObject({ minutes: 20 + 5, money: 25 + 100, bought: [board], inVain: 0 })
    // The board stayed in while the panel was tried; it comes out, and the complaint stays gone.
    const taken = walked({ steps: [], fault: "panel_dead" }, leavingIndex)
    expect(taken.ending).toMatchObject({ kind: "closed", fixed: true })
    expect(taken.spent).toMatchObject({ minutes: 20 + 10 + 5, money: 35 + 200, bought: [panel], inVain: 0 })
    const dead = walked({ steps: [], faults: ["board_dead", "panel_dead"] }, leavingIndex)
    expect(dead.ending).toMatchObject({ kind: "handover" })
  })
})

describe("what the record does not know leaves the case open", () => {
  test("carried on by the chances given the fault", () => {
    // No glow on record: a board that is dead glows nine times in ten, and is found; else the panel is bought in vain.
    const { ending, open } = walked({ steps: [], fault: "board_dead" })
    expect(ending.kind).toBe("open")
    expect(open).toMatchObject({ action: { do: "test", test: 0 } })
    expect(open!.ends.fixed).toBeCloseTo(0.9, 12)
    expect(open!.ends.handedOver).toBeCloseTo(0.1, 12)
    // A glow, one time in four, leads past a dead panel to the lid and to handing over.
    const { ends } = walked({ steps: [], fault: "panel_dead" }).open!
    expect(ends).toEqual({ fixed: 0.75, comesBack: 0, handedOver: 0.25, notFollowed: 0 })
  })

  test("a redoing that cures four times in ten does not follow surely", () => {
    const { open, inferred } = walked({ steps: [glow("yes")], fault: "lid_open" })
    expect(inferred).toBe(1)
    expect(open).toMatchObject({ action: { do: "test", test: 4 } })
    expect(open!.ends.fixed).toBeCloseTo(0.4, 12)
    expect(open!.ends.handedOver).toBeCloseTo(0.6, 12)
  })

  test("a complaint that comes and goes is closed with the fault in it", () => {
    const { open } = walked({ steps: [glow("yes")], fault: "plug_loose" })
    // Gone at three looks in a row by chance alone: after the swap, after putting back, and at the proof run.
    const [swap, back, proof] = [0.5, 0.5, 0.5]
    // Or: gone after the swap, seen after putting back, gone after the new board. Or gone after the lid.
    const bought = swap * (1 - back) * 0.5 * proof
    const lid = (1 - swap) * 0.5 * proof
    expect(open!.ends.comesBack).toBeCloseTo(swap * back * proof + bought + lid, 12)
    expect(open!.ends.fixed).toBe(0)
    expect(open!.ends.handedOver + open!.ends.comesBack).toBeCloseTo(1, 12)
  })

  test("without a confirmed fault the graph's own chances carry on", () => {
    const { open, ending } = walked({ steps: [glow("yes")] })
    expect(ending.kind).toBe("open")
    const { fixed, comesBack, handedOver, notFollowed } = open!.ends
    expect([fixed, comesBack]).toEqual([0, 0])
    // To the proof run, which 9 of 10 pass, whatever that means: 0.8 (0.5 + 0.5 / 2) + 0.2 * 0.4 of the jobs.
    expect(notFollowed).toBeCloseTo(0.9 * (0.8 * 0.75 + 0.2 * 0.4), 12)
    expect(handedOver).toBeCloseTo(1 - notFollowed, 12)
  })
})

describe("the report", () => {
  const right = {
    steps: [
      glow("yes", 2),
      { test: "try_board", found: "gone", minutes: 30 },
      { putBack: "board", found: "stays", minutes: 25 },
      { replace: "board", found: "gone", minutes: 15 },
      { close: true, found: "holds", minutes: 6 },
    ],
    told: { moved: "no" },
    faults: ["board_dead"],
  }
  const wrong = {
    steps: [glow("no"), { test: "meter_rail", found: "7 V" }],
    fault: "board_dead",
    came_back: true,
  }
  const open = { steps: [], fault: "lid_open" }
  const unconfirmed = { steps: [glow("yes"), { test: "try_board", found: "gone" }] }
  const unlisted = { steps: [glow("yes")], faults: ["unlisted"] }
  const two = { steps: [glow("yes")], faults: ["board_dead", "seat_loose"] }

  test("counts endings, each out of what it can be out of", () => {
    const all = report(right, wrong, open, unconfirmed, unlisted, two)
    expect([all.cases, all.unconfirmed, all.unlisted, all.twoFaults]).toEqual([6, 1, 1, 1])
    const counts = Object.fromEntries(
      Object.entries(all.endings).map(([key, { count, of }]) => [key, `${count}/${of}`]),
    )
    expect(counts).toEqual({ fixed: "2/4", comesBack: "0/4", handedOver: "2/4", rightly: "1/2", open: "1/5" })
    expect(all.inVain).toMatchObject({ parts: 1, money: 200, bought: 3, cases: { count: 1, of: 4 } })
    const { fixed, comesBack, handedOver, notFollowed } = all.openEnds
    expect(fixed + comesBack + handedOver + notFollowed).toBeCloseTo(1, 12)
    // Of all five: two were fixed, two handed over, and one is a bit of each.
    expect(all.allEnds.fixed).toBeCloseTo((2 + fixed) / 5, 12)
    expect(all.allEnds.handedOver).toBeCloseTo((2 + handedOver) / 5, 12)
    expect(renderReport(all)).toContain(`${(20 * (2 + fixed)).toFixed(1)} % fixed`)
    expect(reportPage(all)).toContain(`${(20 * (2 + fixed)).toFixed(1)} % fixed`)
    expect(all.faults[0]).toMatchObject({ name: "board_dead", cases: 3, fixed: 2, handedOver: 1, inVain: 1 })
    expect(all.repairs).toEqual([
      { do: "replace", name: "panel", used: 1, inVain: 1 },
      { do: "replace", name: "board", used: 2, inVain: 0 },
    ])
  })

  test("counts a repair too whose outcome fits nothing that can be wrong", () => {
    const steps = [...right.steps.slice(0, 3), { replace: "board", found: "stays" }]
    const all = reportOf(sureIndex, { steps, faults: ["board_dead"] }, { steps, faults: ["lid_open"] })
    expect(all.endings).toMatchObject({ handedOver: { count: 2 } })
    expect(all.inVain).toMatchObject({ bought: 2, parts: 1 })
    expect(all.repairs).toContainEqual({ do: "replace", name: "board", used: 2, inVain: 1 })
    expect(all.calibration.repairs!.bins.map(({ held }) => [held.count, held.of])).toEqual([[1, 2]])
    expect(all.noted.map(({ says }) => says)).toEqual([
      "hands over: what came of replace `board` fits nothing that can be wrong",
      "buys `board` in vain (100 EUR); hands over: what came of replace `board` fits nothing that can be wrong",
    ])
  })

  test("holds minutes and money against the record", () => {
    const { minutes, spent, total } = report(right, wrong)
    // The same steps both ways, but the record asked (half a minute).
    expect(minutes).toMatchObject({ cases: 1, walked: 78, recorded: 78.5, method: "bootstrap" })
    expect(spent).toMatchObject({ walked: 178, recorded: 178.5 })
    // The other: a look, a panel (10 to fit), handing over; against two readings and the comeback that it had.
    expect(total).toMatchObject({ walked: (178 + 1 + 210 + 150) / 2, recorded: (178.5 + 5 + 90) / 2 })
  })

  test("a record of version 1 is charged with the repair and the proof run that it does not tell", () => {
    const { spent } = report({ ...right, steps: right.steps.slice(0, 3) })
    // Fitting a new board takes 20, its proof run 5.
    expect(spent).toMatchObject({ recorded: 57.5 + 120 + 5, walked: 57 + 120 + 5 })
  })

  test("lists came-back cases first, and what ruled out the confirmed fault, by rule and line", () => {
    const { noted, mistakes } = report(right, open, wrong)
    expect(noted.map(({ id, ending, cameBack }) => [id, ending, cameBack])).toEqual([
      ["K-3", "handedOver", true],
      ["K-2", "open", false],
    ])
    expect(noted[0]!.says).toBe("buys `panel` in vain (200 EUR); hands over, `lid_open` 100 %")
    expect(mistakes).toMatchObject([
      {
        id: "K-3",
        cause: "rule",
        chance: 1,
        fault: "board_dead",
        found: "`rail` is 5 to 24 V",
        onWalk: false,
      },
    ])
    const shown = report({ steps: [{ test: "meter_rail", found: 28 }], fault: "board_dead" }).mistakes
    expect(shown).toMatchObject([{ cause: "shows", found: "`rail` is above 24 V" }])
    const weakened = report({ steps: [glow("yes")], fault: "panel_dead" }).mistakes
    expect(weakened).toMatchObject([{ cause: "rule", chance: 0.9, found: "`glow` is yes" }])
  })

  test("a reading of the repaired machine rules out nothing, until the old part is back", () => {
    const steps = [
      { test: "try_board", found: "gone" },
      { test: "meter_rail", found: "7 V" },
    ]
    expect(report({ steps, fault: "board_dead" }).mistakes).toEqual([])
    const back = [
      { putBack: "board", found: "stays" },
      { test: "meter_rail", found: "7 V" },
    ]
    expect(report({ steps: [...steps, ...back], fault: "board_dead" }).mistakes).toMatchObject([
      { cause: "rule" },
    ])
  })

  test("knows which rules and branches no case exercised", () => {
    const { rules, branches, tests } = report(right)
    expect(rules.map(({ used }) => used)).toEqual([0, 1])
    expect(branches).toMatchObject({ taken: 5, of: 14, idleInAll: 9 })
    expect(branches.idle[0]).toEqual({
      node: 3,
      step: "put back `board`",
      found: "`dark` is gone",
      chance: 0.8 * 0.8 * 0.5,
    })
    expect(tests[2]).toEqual({ name: "try_board", used: 1, putBack: 1 })
  })

  test("holds the chances of repairs and closings against what came of them", () => {
    const { calibration } = report(right, two, wrong)
    expect(calibration.repairs).toMatchObject({ cases: 3 })
    expect(calibration.closings).toMatchObject({ cases: 2 })
    expect(calibration.repairs!.bins.reduce((sum, { held }) => sum + held.count, 0)).toBe(2)
    // At the proof run of a machine that has a new board: what else could be wrong has shown itself but the plug.
    const said = calibration.closings!.bins[0]!.said
    expect(said).toBeGreaterThan(0.9)
    expect(said).toBeLessThan(1)
  })

  test("says so in a page of text", () => {
    expect(renderReport(report(right, wrong, open, unconfirmed, unlisted, two))).toMatchSnapshot()
  })

  test("of no case says nothing that it cannot know", () => {
    expect(renderReport(report())).toMatchSnapshot()
    expect(index.graph.nodes).toHaveLength(8)
  })
})
