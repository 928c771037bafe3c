import { expect, test } from "vitest"
import { readCase } from "../../../compiler/cases/record/read.ts"
import { indexGraph } from "../../../compiler/cases/replay/graph-index.ts"
import { Walker } from "../../../compiler/cases/replay/walk.ts"
import type { Model } from "../../../compiler/model/model.ts"
import { makePlanner } from "../../../compiler/plan/planner.ts"
import type { Graph, GraphEdge } from "../../../compiler/run/index.ts"
import { graphOf } from "../../support/graphs.ts"
import { type Bench, drawn, isWrong, type Machine, plain } from "../../support/hidden-machine.ts"
import { type Draw, seeded, sketchFrom, tiny } from "../../support/models.ts"
import { modelOf } from "../../support/sketch.ts"

type End = "fixed" | "comesBack" | "handedOver" | "notFollowed"

/** One machine with these faults played through the graph, as its edges lead. */
function played(model: Model, graph: Graph, faults: readonly number[], draw: Draw): End {
  const none = {
    cured: new Set<number>(),
    readings: new Map(),
    activeAt: new Map(),
    struckBy: new Set<number>(),
  }
  let machine: Machine = { ...none, faults }
  let bench: Bench = { fitted: new Map(), findings: new Map(), touched: new Set() }
  let at: number | undefined = graph.start
  while (at !== undefined) {
    const node: Graph["nodes"][number] = graph.nodes[at]!
    if (node.do === "handover") return "handedOver"
    if (node.do === "advise") return "notFollowed"
    const leaveIn = node.edges.some(({ on, leaveIn }) => on === "stays" && leaveIn)
    const came: NonNullable<ReturnType<typeof drawn>> = drawn(
      model,
      bench,
      machine,
      node,
      leaveIn,
      draw,
      plain,
    )!
    machine = came.machine
    bench = came.bench
    const edge: GraphEdge | undefined = node.edges.find(({ on }) => String(on) === String(came.on))
    if (!edge) return "handedOver"
    at = edge.to
  }
  return isWrong(model, machine, new Set()) ? "comesBack" : "fixed"
}

const RUNS = 1000

// What is not listed always shows the complaint, so only what it reads is open: such cases are rare.
test("an open case ends as often in each way as machines that are drawn and played through the graph", () => {
  const seen = { fixed: 0, comesBack: 0, handedOver: 0, cases: 0, two: 0, unlisted: 0 }
  for (let seed = 1; seed <= 80; seed++) {
    const draw = seeded(seed * 104_729)
    const model = modelOf(sketchFrom(draw, tiny))
    const planner = makePlanner(model, { effort: 300 })
    planner.advance(Number.POSITIVE_INFINITY)
    const graph = graphOf(model, planner.plan())
    const walker = new Walker(indexGraph(graph))
    const states = [[0], [0, 1], []].filter((faults) => faults.every((fault) => fault < graph.faults.length))
    for (const faults of states) {
      const names = faults.length > 0 ? faults.map((fault) => graph.faults[fault]!.name) : ["unlisted"]
      const line = JSON.stringify({ id: "K-1", steps: [], faults: names })
      const { open } = walker.walk(readCase(line, 1, graph).case!)
      if (!open) continue
      seen.cases++
      seen.two += faults.length === 2 ? 1 : 0
      seen.unlisted += faults.length === 0 ? 1 : 0
      const { ends } = open
      expect(ends.fixed + ends.comesBack + ends.handedOver + ends.notFollowed).toBeCloseTo(1, 9)
      const counts = { fixed: 0, comesBack: 0, handedOver: 0, notFollowed: 0 }
      // What the walk infers before it is open is what every such machine does.
      for (let i = 0; i < RUNS; i++) counts[played(model, graph, faults, draw)]++
      for (const end of ["fixed", "comesBack", "handedOver", "notFollowed"] as const) {
        const chance = ends[end]
        // Branches under a chance of 1e-4 are not followed.
        const error = 4 * Math.sqrt((chance * (1 - chance)) / RUNS) + 6 / RUNS
        expect(Math.abs(counts[end] / RUNS - chance), `seed ${seed}, ${names}: ${end}`).toBeLessThan(error)
      }
      for (const end of ["fixed", "comesBack", "handedOver"] as const) seen[end] += ends[end] > 0.01 ? 1 : 0
    }
  }
  for (const [what, count] of Object.entries(seen)) expect(count, what).toBeGreaterThan(3)
}, 120_000)
