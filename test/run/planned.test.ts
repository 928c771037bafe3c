import { expect, test } from "vitest"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { type Graph, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { kiosk } from "./kiosk.ts"

/** Along the paths of the graph the session is at its nodes, with their chances and costs. Counts nodes by what they do. */
function everyNode(graph: Graph, seen: Map<string, number>): void {
  const visited = new Set<number>()
  const visit = (index: number, session: Session): void => {
    if (visited.has(index)) return
    visited.add(index)
    const node = graph.nodes[index]!
    const { next, outlook } = session
    seen.set(node.do, (seen.get(node.do) ?? 0) + 1)
    if (node.do === "advise") {
      expect(next.by).toBe("model")
      return
    }
    expect(next).toMatchObject({ do: node.do, by: "graph" })
    if (node.do === "handover") {
      expect(outlook).toMatchObject({ cost: graph.handover, handedOver: 1, by: "graph" })
      for (const { fault, present, active } of node.candidates) {
        const suspect = session.candidates.find((each) => each.fault === fault)!
        expect(suspect.present).toBeCloseTo(present, 9)
        expect(suspect.active).toBeCloseTo(active, 9)
      }
      return
    }
    if (!("outcomes" in next)) throw new Error("no action")
    expect(outlook.cost).toBeCloseTo(node.costToGo, 6)
    expect(next.cost).toBeCloseTo(node.cost, 9)
    const chances = new Map(next.outcomes.map(({ found, chance }) => [String(found), chance]))
    for (const edge of node.edges) {
      expect(chances.get(String(edge.on)), `node ${index} ${edge.on}`).toBeCloseTo(edge.chance, 9)
      const there = session.answer(edge.on)
      const ruledOut = there.candidates.filter(({ out }) => out?.step === session.log.length)
      expect(ruledOut.map(({ fault }) => fault).sort()).toEqual([...edge.rulesOut].sort())
      if (edge.to === undefined) expect(there.next).toMatchObject({ do: "end" })
      else visit(edge.to, there)
    }
  }
  visit(graph.start, open(graph))
}

test("the runner walks a compiled machine as it was planned", () => {
  const seen = new Map<string, number>()
  everyNode(kiosk, seen)
  expect(seen.get("test")).toBeGreaterThan(1)
  expect(seen.get("close")).toBeGreaterThan(0)
})

test("and the plans of random models, whatever they do", () => {
  const seen = new Map<string, number>()
  for (let seed = 1; seed <= 16; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), { ...tiny, faults: 4, readings: 3, tests: 5 }))
    const planner = makePlanner(model, { effort: 200, mass: 0.02 })
    planner.advance(Number.POSITIVE_INFINITY)
    everyNode(graphOf(model, planner.plan()), seen)
  }
  for (const kind of ["test", "replace", "fix", "close", "handover"])
    expect(seen.get(kind) ?? 0, kind).toBeGreaterThan(2)
})
