import { describe, expect, test } from "vitest"
import { ComparisonTally, isOfNothing } from "../../../compiler/cases/compare/compare.ts"
import { renderComparison } from "../../../compiler/cases/compare/render-text.ts"
import { graphWithoutPlan } from "../../../compiler/cases/fit/graph-without-plan.ts"
import { readCase } from "../../../compiler/cases/record/read.ts"
import { indexGraph } from "../../../compiler/cases/replay/graph-index.ts"
import { Walker } from "../../../compiler/cases/replay/walk.ts"
import type { Graph, GraphNode, GraphWork } from "../../../compiler/run/graph.ts"
import { open as openGraph } from "../../../compiler/run/index.ts"
import { graph, model } from "../small-machine.ts"

/** What glows is now taken for a dead panel too: the first look leads nowhere else. */
const worse: Graph = {
  ...graph,
  ruleset: { ...graph.ruleset, version: "2.0.0", source: "sha256:1" },
  nodes: graph.nodes.map((node, n): GraphNode => (n === 1 ? graph.nodes[2]! : node)),
}

function contest(old: Graph, fresh: Graph, records: readonly object[]) {
  const all = new ComparisonTally(old, fresh)
  records.forEach((fields, i) => {
    const line = JSON.stringify({ id: `K-${i + 1}`, ...fields })
    all.add(readCase(line, i + 1, all.graphs.old).case!, readCase(line, i + 1, all.graphs.fresh).case!)
  })
  return all.result()
}

const board = { steps: [{ test: "look_glow", found: "yes" }], faults: ["board_dead"] }
const panel = { steps: [{ test: "look_glow", found: "no" }], faults: ["panel_dead"], came_back: true }
const open = { steps: [], faults: ["lid_open"] }

describe("two graphs on the same cases", () => {
  test("worse beyond chance, with the cases lost first", () => {
    const result = contest(graph, worse, [...Array(8).fill(board), panel, open, { steps: [] }])
    // The open case ends well with a chance that is less under the new one, and what it takes is as likely as its outcomes.
    const ahead = (of: Graph) =>
      new Walker(indexGraph(of)).walk(readCase(JSON.stringify({ id: "K", ...open }), 1, of).case!).open!
    const [before, after] = [ahead(graph), ahead(worse)]
    const openLoss = before.ends.fixed - after.ends.fixed
    expect(openLoss).toBeGreaterThan(0.1)
    const openVain = after.inVain - before.inVain
    expect(openVain).toBeGreaterThan(0)
    expect(result).toMatchObject({
      cases: 11,
      unconfirmed: 1,
      compared: 10,
      open: { old: 1, fresh: 1, either: 1 },
      right: { gained: 0, lost: expect.closeTo(8 + openLoss, 12), p: expect.closeTo(2 / 256, 12) },
      comesBack: { gained: 0, lost: 0 },
      inVain: { gained: expect.closeTo(8 + openVain, 12), lost: 0 },
      judgement: { is: "worse", worse: ["right", "inVain", "total"], better: [] },
      changedInAll: 8,
    })
    // Instead of trying the board, putting it back, fitting a new one (20 each) and a proof run (5): a panel (10).
    expect(result.minutes!.difference).toBeCloseTo((8 * (10 - 65) + after.minutes - before.minutes) / 10, 9)
    // A board (100) less, a panel (200) more, and handing over (150).
    expect(result.spent!.difference).toBeCloseTo((8 * (10 - 65 + 100) + after.money - before.money) / 10, 9)
    const loss = ({ ends }: typeof after) => 90 * ends.comesBack + 150 * ends.handedOver
    const openCost = after.money + loss(after) - before.money - loss(before)
    expect(result.total!.difference).toBeCloseTo((8 * (10 - 65 + 100 + 150) + openCost) / 10, 9)
    expect(renderComparison(result)).toMatchSnapshot()
  })

  test("of graphs that follow no case nothing is said", () => {
    const result = contest(graph, graphWithoutPlan(model), Array(8).fill(open))
    expect(isOfNothing(result)).toBe(true)
    expect(result.judgement.is).toBe("even")
    expect(result.total!.walked).toBeCloseTo(openGraph(graphWithoutPlan(model)).outlook.cost, 9)
    expect(renderComparison(result)).toContain("Nothing could be compared: one of them follows no case")
  })

  test("the other way round it is better", () => {
    expect(contest(worse, graph, Array(8).fill(board)).judgement).toEqual({
      is: "better",
      worse: [],
      better: ["right", "inVain", "total"],
    })
  })

  test("a few cases are no ground, and the same ruleset is even", () => {
    const few = contest(graph, worse, [board, panel, panel, panel])
    expect(few.judgement.is).toBe("even")
    const same = contest(graph, graph, Array(5).fill(board))
    expect(same).toMatchObject({ judgement: { is: "even" }, changedInAll: 0, right: { p: 1 } })
    expect(renderComparison(same)).toContain("No case ends better or worse.")
  })

  test("a dearer bench is not taken for a worse ruleset", () => {
    const tests = graph.tests.map((each) => ({ ...each, cost: each.cost + each.minutes }))
    const dearer = (work: GraphWork | null) => work && { ...work, cost: work.cost + work.minutes }
    const model = {
      ...graph.model,
      replace: graph.model.replace.map(dearer),
      fix: graph.model.fix.map(dearer),
    }
    const dear: Graph = { ...graph, bench: 120, tests, model }
    expect(contest(graph, dear, Array(5).fill(board)).total).toMatchObject({ difference: 0 })
  })

  test("a rule that the new one adds is named as the cause", () => {
    const model = {
      ...graph.model,
      rules: [
        ...graph.model.rules,
        { when: ["in", 1, [0]] as const, verb: "rule out" as const, of: [0], chance: 1 },
      ],
    }
    const strict = {
      ...worse,
      model,
      rules: [...graph.rules, { line: 77, name: "glows" }],
    } as unknown as Graph
    const [lost] = contest(graph, strict, Array(6).fill(board)).changed
    expect(lost).toMatchObject({ turn: "lost", causes: [{ cause: "rule", name: "glows", at: 77 }] })
  })
})
