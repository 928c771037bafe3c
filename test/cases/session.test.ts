import fc from "fast-check"
import { expect, test } from "vitest"
import { readCase } from "../../compiler/cases/record/read.ts"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { chanceOf, look, type Machine, untouched } from "../../compiler/cases/replay/true-machine.ts"
import { walk } from "../../compiler/cases/replay/walk.ts"
import { writeGraph } from "../../compiler/graph/write.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { type Graph, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Draw, seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"

/** A job done by the graph on a machine with this fault: each outcome is drawn as the fault would have it. */
function job(graph: Graph, fault: number, draw: Draw): { session: Session; machine: Machine } {
  let session = open(graph)
  let machine = untouched
  const happens = (chance: number) => draw.int(0, 999_999) < chance * 1e6
  for (;;) {
    const { next } = session
    if (next.do !== "test") return { session, machine }
    const { reads } = graph.model.tests[next.test]!
    if (next.reads.length > 0 && reads) {
      const cells = reads.map((reading) => {
        const count = graph.readings[reading]!.cells.length
        let cell = 0
        // By what is left of the chance, so that rounding never draws a cell without any.
        for (let left = 1; cell < count - 1; cell++) {
          const chance = chanceOf(graph, fault, machine, reading, cell)
          if (left > 0 && happens(chance / left)) break
          left -= chance
        }
        return cell
      })
      session = session.answer(cells)
    } else {
      const truth = { known: "listed", fault } as const
      const seen = look(graph, truth, machine, next.test, next.putBack !== undefined)
      const found = happens(seen.gone!) ? "gone" : "stays"
      machine = seen.after[found]
      session = session.answer(found)
    }
  }
}

test.each([
  { by: "the graph", runs: 150 },
  { by: "the model, where the graph plans nothing", runs: 60 },
])(
  "a job recorded by the runner is replayed step by step to the same end: $by",
  ({ by, runs }) => {
    let verdicts = 0
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e9 }), (seed) => {
        const draw = seeded(seed)
        const model = modelOf(sketchFrom(draw, tiny))
        const planner = makePlanner(model, { effort: 20_000 })
        planner.advance(Number.POSITIVE_INFINITY)
        // A sketch has no units: the nodes are the writer's, the rest as the runner's own tests have it.
        const { nodes } = writeGraph(model, planner.plan(), { source: "sha256:0", compiler: "0.0.0" })
        const graph = by === "the graph" ? graphOf(model, nodes) : graphOf(model)
        const index = indexGraph(graph)
        for (let n = 0; n < 4; n++) {
          const fault = draw.int(0, graph.faults.length - 1)
          const { session } = job(graph, fault, draw)
          const record = session.record({ id: "K-1", fault: graph.faults[fault]!.name })
          const { case: read, diagnostics } = readCase(JSON.stringify(record), 1, graph)
          expect(diagnostics).toEqual([])
          const { ending, inferred, advised } = walk(index, read!)
          expect(inferred).toBe(0)
          expect(advised).toBe(by !== "the graph")
          expect(ending.kind).toBe(session.next.do)
          if (session.next.do !== "verdict" || ending.kind !== "verdict") continue
          verdicts++
          expect(ending.remedy).toEqual(session.next.remedy)
          expect(ending.chance).toBeCloseTo(session.next.chance, 9)
        }
      }),
      { numRuns: runs },
    )
    expect(verdicts).toBeGreaterThan(runs / 2)
  },
  60_000,
)
