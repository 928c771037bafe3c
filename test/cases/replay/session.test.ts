import fc from "fast-check"
import { expect, test } from "vitest"
import { readCase } from "../../../compiler/cases/record/read.ts"
import { indexGraph } from "../../../compiler/cases/replay/graph-index.ts"
import { Walker } from "../../../compiler/cases/replay/walk.ts"
import type { Model } from "../../../compiler/model/model.ts"
import { makePlanner } from "../../../compiler/plan/planner.ts"
import type { GraphAction } from "../../../compiler/run/graph.ts"
import { type Graph, open, type Session } from "../../../compiler/run/index.ts"
import { graphOf } from "../../support/graphs.ts"
import { drawMachine, drawn, isWrong, type Machine, plain } from "../../support/hidden-machine.ts"
import { Shop } from "../../support/job-figures.ts"
import { type Draw, seeded, sketchFrom, tiny } from "../../support/models.ts"
import { modelOf } from "../../support/sketch.ts"

interface Played {
  readonly session: Session
  readonly machine: Machine
  readonly shop: Shop
}

/** A job done as the runner says on a machine that is drawn; undefined where it takes too long. */
function job(model: Model, graph: Graph, draw: Draw): Played | undefined {
  let session = open(graph)
  let machine = drawMachine(model, draw, plain)
  const shop = new Shop(model)
  for (let step = 0; step < 60; step++) {
    const { next } = session
    if (next.do === "end") return { session, machine, shop }
    if (next.do === "handover") {
      session = session.answer("done")
      continue
    }
    const action: GraphAction = next
    shop.charge(action)
    if (action.do === "keep" || action.do === "replace") shop.bought(action.part, machine)
    const came = drawn(model, shop.bench, machine, action, next.leaveIn, draw, plain)
    if (!came) return undefined
    machine = came.machine
    shop.bench = came.bench
    shop.looked(action, came.tries)
    session = session.answer(came.on)
  }
  return undefined
}

const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)

test.each([
  { by: "the graph", runs: 60 },
  { by: "the model, where the graph plans nothing", runs: 15 },
])(
  "a job recorded by the runner is replayed step by step to the same end: $by",
  ({ by, runs }) => {
    const seen = { closed: 0, wrong: 0, handedOver: 0, two: 0, unlisted: 0 }
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e9 }), (seed) => {
        const draw = seeded(seed)
        const model = modelOf(sketchFrom(draw, tiny))
        const planner = makePlanner(model, { effort: 600 })
        if (by === "the graph") planner.advance(Number.POSITIVE_INFINITY)
        const graph = by === "the graph" ? graphOf(model, planner.plan()) : graphOf(model)
        const walker = new Walker(indexGraph(graph))
        for (let n = 0; n < 4; n++) {
          const played = job(model, graph, draw)
          if (!played) continue
          const { session, machine, shop } = played
          const names = machine.faults.map((fault) => graph.faults[fault]!.name)
          const record = session.record({ id: "K-1", faults: names.length > 0 ? names : ["unlisted"] })
          const { case: read, diagnostics } = readCase(JSON.stringify(record), 1, graph)
          expect(diagnostics).toEqual([])
          const { ending, inferred, spent } = walker.walk(read!)
          const { next } = session
          if (next.do !== "end") throw new Error("The job has no end.")
          expect(inferred).toBe(0)
          expect(ending.kind, JSON.stringify(record)).toBe(next.closed ? "closed" : "handover")
          expect(spent.bought.length).toBe(
            record.steps.filter((step) => "keep" in step || "replace" in step).length,
          )
          const { tests, parts, repairs, proof, waiting, wasted } = shop.figures
          expect(spent.inVainMoney).toBeCloseTo(wasted, 9)
          // How many tries a look took is not on record.
          if (model.complaint.minutes === 0)
            expect(spent.money).toBeCloseTo(sum([tests, parts, repairs, proof, waiting]), 6)
          const wrong = isWrong(model, machine, new Set())
          if (ending.kind === "closed" && (ending.whole === 0 || ending.whole === 1))
            expect(ending.fixed).toBe(!wrong)
          if (ending.kind === "handover") expect(ending.rightly).toBe(machine.faults.length === 0)
          seen.closed += next.closed ? 1 : 0
          seen.wrong += next.closed && wrong ? 1 : 0
          seen.handedOver += next.closed ? 0 : 1
          seen.two += machine.faults.length > 1 ? 1 : 0
          seen.unlisted += machine.faults.length === 0 ? 1 : 0
        }
      }),
      // The same jobs in every run: rare kinds must be among them.
      { numRuns: runs, seed: 1 },
    )
    for (const [what, count] of Object.entries(seen))
      if (what !== "wrong") expect(count, what).toBeGreaterThan(runs / 20)
  },
  120_000,
)
