import { describe, expect, test } from "vitest"
import { renderReport } from "../../compiler/cases/report/render-text.ts"
import { report, walked } from "./bench.ts"

const glow = (found: "yes" | "no", minutes?: number) => ({ test: "look_glow", found, minutes })

describe("a walk follows the record", () => {
  test("a swap that cured by reseating is done once the old part is back", () => {
    const steps = [
      glow("yes"),
      { test: "try_board", found: "gone" },
      { putBack: "board", found: "gone", minutes: 18 },
    ]
    const { ending, inferred, minutes, work } = walked({ steps, fault: "seat_loose" })
    expect(ending).toMatchObject({ kind: "verdict", remedy: { kind: "done" }, mends: true, named: true })
    expect({ inferred, minutes, work }).toEqual({ inferred: 0, minutes: 1 + 20 + 18, work: 39 })
  })

  test("what follows surely from the confirmed fault is inferred and counted", () => {
    const seat = walked({ steps: [glow("yes")], fault: "seat_loose" })
    expect(seat.ending).toMatchObject({ remedy: { kind: "done" }, mends: true })
    expect(seat.inferred).toBe(2)
    const board = walked({ steps: [glow("yes")], fault: "board_dead" })
    expect(board.ending).toMatchObject({ remedy: { kind: "replace", place: 0 }, mends: true, named: true })
    expect(board.inferred).toBe(2)
  })

  test("the order of the record does not matter as long as the machine is the same", () => {
    const steps = [{ test: "redo_lid", found: "stays" }, { test: "try_board", found: "gone" }, glow("yes")]
    // A healthy board glows like one whose seat was loose: the reading counts, though taken after the cure.
    expect(walked({ steps, fault: "seat_loose" }).ending).toMatchObject({ kind: "verdict", mends: true })
    // Of a dead panel it does not: after the panel was exchanged a glow says nothing of before.
    const panel = walked({ steps: [{ test: "try_board", found: "stays" }, glow("no")], fault: "panel_dead" })
    expect(panel.ending).toMatchObject({ remedy: { kind: "replace", place: 1 }, mends: true })
  })

  test("a technician's mistake leads the walk astray, and is said", () => {
    const steps = [glow("yes"), { test: "try_board", found: "stays" }, { test: "redo_lid", found: "stays" }]
    expect(walked({ steps, fault: "board_dead" }).ending).toMatchObject({ kind: "handover", listed: false })
    const { mistakes } = report({ steps, fault: "board_dead", came_back: true })
    expect(mistakes).toEqual([
      {
        id: "K-1",
        line: 1,
        cameBack: true,
        fault: "board_dead",
        cause: "look",
        found: "`complaint` stays with `try_board`",
        onWalk: true,
      },
    ])
  })
})

describe("what the record does not know leaves the case open", () => {
  test("carried on by the chances given the fault", () => {
    // No glow on record: a board that is dead glows nine times in ten, and is found; else the panel would be replaced.
    const { ending, open } = walked({ steps: [], fault: "board_dead" })
    expect(ending.kind).toBe("open")
    expect(open).toMatchObject({ test: 0, putBack: false })
    expect(open!.ends.remedy).toBeCloseTo(0.9, 12)
    expect(open!.ends.wrong).toBeCloseTo(0.1, 12)
    // Here the graph has a glow rule a dead panel out: one in four goes on to the lid and is handed over.
    const panel = walked({ steps: [], fault: "panel_dead" }).open!.ends
    expect([panel.remedy, panel.wrong, panel.handover]).toEqual([0.75, 0, 0.25])
  })

  test("a redoing that cures four times in ten does not follow surely", () => {
    const { open, inferred } = walked({ steps: [glow("yes")], fault: "lid_open" })
    expect(inferred).toBe(1)
    expect(open).toMatchObject({ test: 3, ends: { remedy: 0.4, wrong: 0, handover: 0.6, unfollowed: 0 } })
  })

  test("a complaint that comes and goes does not follow surely either", () => {
    const { open } = walked({ steps: [glow("yes")], fault: "plug_loose" })
    // Gone by chance (half), then put back gone (half): believed cured. Stays there: the board is replaced in vain.
    expect(open!.ends.wrong).toBeCloseTo(0.5 + 0.5 * 0.5, 12)
    expect(open!.ends.handover).toBeCloseTo(0.25, 12)
  })

  test("without a confirmed fault the graph's own chances carry on", () => {
    const { open } = walked({ steps: [glow("yes")], fault: null })
    expect(open!.ends.wrong).toBeCloseTo(0.8 + 0.2 * 0.4, 12)
  })
})

describe("the report", () => {
  const right = {
    steps: [
      glow("yes", 2),
      { test: "try_board", found: "gone", minutes: 30 },
      { putBack: "board", found: "stays", minutes: 25 },
    ],
    told: { moved: "no" },
    fault: "board_dead",
  }
  const wrong = {
    steps: [glow("no"), { test: "meter_rail", found: "7 V" }],
    fault: "board_dead",
    came_back: true,
  }
  const open = { steps: [], fault: "lid_open" }
  const unconfirmed = { steps: [glow("yes"), { test: "try_board", found: "gone" }] }

  test("counts endings, each out of what it can be out of", () => {
    const {
      cases,
      unconfirmed: none,
      verdicts,
      wrongButCandidate,
      openEnds,
    } = report(right, wrong, open, unconfirmed)
    expect([cases, none]).toEqual([4, 1])
    const counts = Object.fromEntries(
      Object.entries(verdicts).map(([key, { count, of }]) => [key, `${count}/${of}`]),
    )
    expect(counts).toEqual({
      remedy: "1/2",
      right: "1/2",
      inCandidates: "2/2",
      wrong: "1/2",
      handover: "0/2",
      open: "1/3",
    })
    expect(wrongButCandidate).toBe(1)
    expect(openEnds.remedy + openEnds.wrong + openEnds.handover + openEnds.unfollowed).toBeCloseTo(1, 12)
  })

  test("holds minutes and money against the record", () => {
    const { minutes, work, total } = report(right, wrong)
    // Right: 2 + 30 + 25 both ways, but the record asked (half a minute). Wrong: 1 against 1 + 4.
    expect(minutes).toMatchObject({
      cases: 2,
      walked: 29,
      recorded: 31.25,
      difference: -2.25,
      method: "bootstrap",
    })
    expect(work).toMatchObject({ walked: 29, recorded: 31.25 })
    // The wrong verdict costs a panel and a comeback; the record's own comeback is held against it too.
    expect(total).toMatchObject({ walked: (57 + 1 + 200 + 90) / 2, recorded: (57.5 + 5 + 90) / 2 })
  })

  test("lists came-back cases first, and what ruled out the confirmed fault, by rule and line", () => {
    const { noted, mistakes } = report(right, open, wrong)
    expect(noted.map(({ id, ending, cameBack }) => [id, ending, cameBack])).toEqual([
      ["K-3", "wrong", true],
      ["K-2", "open", false],
    ])
    expect(noted[0]!.says).toBe("replace `panel`, `panel_dead` 70 %")
    expect(mistakes).toMatchObject([
      { id: "K-3", cause: "rule", at: 1, fault: "board_dead", found: "`rail` is 5 to 24", onWalk: false },
    ])
    const shown = report({ steps: [{ test: "meter_rail", found: 28 }], fault: "board_dead" }).mistakes
    expect(shown).toMatchObject([{ cause: "shows", name: "rail", found: "`rail` is 25 to 30" }])
  })

  test("a reading of the mended machine rules out nothing", () => {
    const steps = [
      { test: "try_board", found: "gone" },
      { test: "meter_rail", found: "7 V" },
    ]
    expect(report({ steps, fault: "board_dead" }).mistakes).toEqual([])
  })

  test("knows which rules and branches no case exercised", () => {
    const { rules, branches, tests } = report(right)
    expect(rules.map(({ used }) => used)).toEqual([0, 1])
    expect(branches).toMatchObject({ taken: 3, of: 8, idleInAll: 5 })
    expect(branches.idle[0]).toEqual({
      node: 3,
      step: "put back after `try_board`",
      found: "`complaint` is gone",
      chance: 0.8 * 0.8 * 0.5,
    })
    expect(tests[2]).toEqual({ name: "try_board", used: 1, putBack: 1 })
  })

  test("a fault that is not listed: a verdict is wrong, handing over is not", () => {
    const { unlisted, verdicts } = report({ steps: [glow("no")], fault: "mouse_in_it" })
    expect(unlisted).toBe(1)
    expect(verdicts.wrong.count).toBe(1)
  })

  test("says so in a page of text", () => {
    expect(renderReport(report(right, wrong, open, unconfirmed))).toMatchSnapshot()
  })

  test("of no case says nothing that it cannot know", () => {
    expect(renderReport(report())).toMatchSnapshot()
  })
})
