import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { writeGraph } from "../../compiler/graph/write.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { type Graph, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"

/** Along every path of the graph the session is at its node, with its chances. Counts nodes by what they do. */
function everyPath(graph: Graph): Record<string, number> {
  const seen: Record<string, number> = { test: 0, verdict: 0, handover: 0, advise: 0 }
  const visited = new Set<number>()
  const visit = (index: number, session: Session): void => {
    if (visited.has(index)) return
    visited.add(index)
    const node = graph.nodes[index]!
    const { next } = session
    seen[node.do]!++
    if (node.do === "advise") expect(next.by).toBe("model")
    else expect(next).toMatchObject({ do: node.do, by: "graph" })
    if (node.do === "test" && next.do === "test") {
      expect(next.test).toBe(node.test)
      expect(next.putBack !== undefined).toBe(node.putBack === true)
      expect(next.cost).toBe(node.cost)
      const chances = new Map(next.outcomes.map(({ found, chance }) => [String(found), chance]))
      for (const edge of node.edges) {
        expect(chances.get(String(edge.cells)), `node ${index}`).toBeCloseTo(edge.chance, 9)
        const there = session.answer(edge.cells as "gone")
        const ruledOut = there.candidates.filter(({ out }) => out?.step === session.log.length)
        expect(ruledOut.map(({ fault }) => fault).sort()).toEqual([...edge.rulesOut].sort())
        visit(edge.to, there)
      }
    }
    if (node.do === "verdict" && next.do === "verdict") {
      expect(next.remedy).toEqual(node.remedy)
      expect(next.chance).toBeCloseTo(node.chance, 9)
      expect(next.proofs).toEqual(node.proofs.map((proof) => graph.proofs[proof]))
    }
    if (node.do === "verdict" || node.do === "handover")
      for (const { fault, cured, chance } of node.candidates)
        expect(session.chances[cured ? "cured" : "uncured"][fault]).toBeCloseTo(chance, 9)
  }
  visit(graph.start, open(graph))
  return seen
}

test("the runner walks a compiled ruleset as it was planned", () => {
  const { graph } = compile("kiosk.ruleout", () => KIOSK_DARK, { mass: 0.001 })
  const seen = everyPath(graph!)
  expect(seen.test).toBeGreaterThan(3)
  expect(seen.verdict).toBeGreaterThan(3)
})

test("and the plans of random models", () => {
  const sum: Record<string, number> = { test: 0, verdict: 0, handover: 0, advise: 0 }
  for (let seed = 1; seed <= 90; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), { ...tiny, faults: 6, readings: 3, tests: 6 }))
    const planner = makePlanner(model, { effort: 3000, mass: 0.02 })
    planner.advance(Number.POSITIVE_INFINITY)
    const { nodes } = writeGraph(model, planner.plan(), { source: "sha256:0", compiler: "0.0.0" })
    for (const [kind, count] of Object.entries(everyPath(graphOf(model, nodes)))) sum[kind]! += count
  }
  expect(Math.min(sum.test!, sum.verdict!)).toBeGreaterThan(100)
  expect(sum.handover).toBeGreaterThan(3)
})
