import { describe, expect, test } from "vitest"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { type Graph, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"

/** Money from here to the end if every step is the session's next, over all outcomes. Tries take no time here. */
function expectedTotal(session: Session, graph: Graph): number {
  const { next } = session
  if (next.do === "handover") return graph.handover
  if (next.do === "end") return next.closed ? (1 - session.standing.whole) * graph.comeback : graph.handover
  return next.outcomes.reduce(
    (sum, { found, chance }) => sum + chance * expectedTotal(session.answer(found), graph),
    next.cost,
  )
}

function planned(sketch: Sketch): Graph {
  const model = modelOf(sketch)
  const planner = makePlanner(model, { mass: 0 })
  planner.advance(Number.POSITIVE_INFINITY)
  return graphOf(model, planner.plan())
}

/** The total of the compiled plan, and of the model's advice at each step; they are the same in these small examples. */
function bothTotals(sketch: Sketch): [number, number] {
  const graphs = [planned(sketch), graphOf(modelOf(sketch))] as const
  for (const [graph, by] of [
    [graphs[0], "graph"],
    [graphs[1], "model"],
  ] as const)
    expect(open(graph).next.by).toBe(by)
  return [expectedTotal(open(graphs[0]), graphs[0]), expectedTotal(open(graphs[1]), graphs[1])]
}

const setups = (
  names: string,
  odds: readonly number[],
  minutes: readonly number[],
  more: Partial<Sketch>,
): Sketch => ({
  comeback: 1000,
  handover: 1000,
  places: [...names].map((name) => ({ name, kind: "setup" as const })),
  faults: [...names].map((name, i) => ({ name: `in_${name}`, in: name, odds: odds[i]! })),
  tests: [...names].map((name, i) => ({ name: `redo_${name}`, redoes: [name], minutes: minutes[i]! })),
  ...more,
})

const seated = (reseat: boolean): Sketch => ({
  comeback: 50,
  handover: 1000,
  places: [
    { name: "p", kind: "part", price: 100 },
    { name: "s", kind: "setup", of: "p" },
  ],
  faults: [
    { name: "part_bad", in: "p", odds: 1 },
    { name: "seat_bad", in: "s", odds: 1, ...(reseat ? {} : { fix: { minutes: 200 } }) },
  ],
  tests: [
    { name: "try_p", swaps: "p", minutes: 10 },
    ...(reseat ? [{ name: "reseat_s", redoes: ["s"], minutes: 2 }] : []),
  ],
})

describe("the examples worked by hand, at the runner: by the graph and by the model's advice", () => {
  test.each([
    ["order", setups("ab", [3, 1], [6, 1], {}), 5.5],
    ["part or seat", seated(true), 57],
    ["part or seat, without reseating", seated(false), 75],
    ["two faults", setups("ab", [1, 1], [1, 1], { second: 0.2 }), 1.6],
    ["not listed", setups("a", [1], [5], { unlisted: 0.1, handover: 40 }), 9],
  ])("%s", (_, sketch, total) => {
    const [graph, model] = bothTotals(sketch)
    expect(graph).toBeCloseTo(total, 9)
    expect(model).toBeCloseTo(total, 9)
  })

  test("the outlook at the start is the plan's total, and shrinks by what was spent", () => {
    const graph = planned(seated(true))
    const job = open(graph)
    expect(job.outlook.by).toBe("graph")
    expect(job.outlook.cost).toBeCloseTo(57, 9)
    expect(job.outlook.parts).toBeCloseTo(50, 9)
    expect(job.outlook.minutes).toBeCloseTo(graph.expected.minutes, 9)
    expect(job.answer("gone").outlook).toMatchObject({ cost: 0, parts: 0, minutes: 0, handedOver: 0 })
    expect(job.answer("stays").outlook.cost).toBeCloseTo(110, 9)
    const unlisted = planned(setups("a", [1], [5], { unlisted: 0.1, handover: 40 }))
    expect(open(unlisted).outlook.handedOver).toBeCloseTo(0.1, 9)
  })

  test("with the good part in, a reading says nothing about the old one", () => {
    const graph = graphOf(
      modelOf({
        places: [
          { name: "p", kind: "part", price: 100 },
          { name: "s", kind: "setup", of: "p" },
        ],
        faults: [
          { name: "part_bad", in: "p", odds: 9, shows: { r: [0, 1] } },
          { name: "seat_bad", in: "s", odds: 1 },
        ],
        readings: [{ name: "r", cells: ["good", "bad"], healthy: [1, 0] }],
        tests: [
          { name: "try_p", swaps: "p" },
          { name: "read_r", reads: ["r"] },
        ],
        rules: [{ when: ["in", "r", [0]], out: ["part_bad"] }],
      }),
    )
    const job = open(graph).find({ test: "try_p" }, "gone").find({ test: "read_r" }, "good")
    expect(job.candidates.map(({ info, present, active }) => [info?.name, present, active])).toEqual([
      ["part_bad", expect.closeTo(0.9, 12), 0],
      ["seat_bad", expect.closeTo(0.1, 12), 0],
      [undefined, 0, 0],
    ])
    const struck = open(graph).find({ test: "read_r" }, "good").why("part_bad")
    expect(struck).toMatchObject({ out: [{ step: 0, by: "reading" }], back: [0] })
  })
})
