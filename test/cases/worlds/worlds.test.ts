import { describe, expect, test } from "vitest"
import { type Mean, RunningMean } from "../../../compiler/cases/stats/running-mean.ts"
import { playWorlds, type WorldFigures } from "../../../compiler/cases/worlds/play-worlds.ts"
import { generatorFor, pick, seeded } from "../../../compiler/cases/worlds/random.ts"
import { worldsNotes, worldsTable } from "../../../compiler/cases/worlds/table.ts"
import { type World, worldsOf } from "../../../compiler/cases/worlds/world.ts"
import type { Model } from "../../../compiler/model/model.ts"
import { makePlanner } from "../../../compiler/plan/planner.ts"
import type { Graph } from "../../../compiler/run/graph.ts"
import { flakySeat } from "../../support/flaky-seat.ts"
import { graphOf } from "../../support/graphs.ts"
import { seeded as drawFrom } from "../../support/models.ts"
import { shelved } from "../../support/shelf.ts"
import { type Simulated, simulate } from "../../support/simulate.ts"
import { modelOf } from "../../support/sketch.ts"
import { solvedModels } from "../../support/solved.ts"

function planned(model: Model): Graph {
  const planner = makePlanner(model, { gap: 0, mass: 0 })
  while (!planner.progress.done) planner.advance(1000)
  return graphOf(model, planner.plan())
}

/** The independent simulator in the same world, in which a machine knows nothing of rules. */
function simulated(model: Model, graph: Graph, world: World, jobs: number, seed: number): Simulated {
  const { odds, ...rest } = world
  const plain = { ...rest, rules: "plain" as const, ...(odds ? { odds: (f: number) => odds[f]! } : {}) }
  return simulate(model, graph, drawFrom(seed), jobs, plain)
}

/** Columns in which the two lie further apart than four standard errors of their difference. */
function apart(played: WorldFigures, by: Simulated): string[] {
  const { jobs } = played
  const { comesBack, handedOver, total, wasted } = by.figures
  const shares: [string, number, number][] = [
    ["leaves whole", played.whole.mean, 1 - comesBack.mean - handedOver.mean - by.stuck],
    ["comes back", played.comesBack.mean, comesBack.mean],
    ["handed over", played.handedOver.mean, handedOver.mean],
    ["beyond the graph", played.beyond.mean, by.offGraph],
    ["dead ends", played.deadEnds / jobs, by.stuck],
  ]
  const amounts: [string, Mean, Mean][] = [
    ["cost", played.total, total],
    ["in vain", played.inVain, wasted],
  ]
  const isFar = (one: number, other: number, error: number) => Math.abs(one - other) > 4 * error + 1e-9
  return [
    ...shares.flatMap(([name, one, other]) => {
      const both = Math.min(1, Math.max(0, (one + other) / 2))
      const error = Math.sqrt((2 * both * (1 - both)) / jobs)
      return isFar(one, other, error) ? [`${name}: ${one} played, ${other} simulated`] : []
    }),
    ...amounts.flatMap(([name, one, other]) =>
      isFar(one.mean, other.mean, Math.hypot(one.error, other.error))
        ? [`${name}: ${one.mean} ± ${one.error} played, ${other.mean} ± ${other.error} simulated`]
        : [],
    ),
  ]
}

/** Those of the command, and two in which all machines are of a kind that is rare. */
const worldsFor = (graph: Graph): World[] => [
  ...worldsOf(graph),
  { name: "two faults only", second: 1, unlisted: 0 },
  { name: "nothing listed", second: 0, unlisted: 1 },
]

describe("against the independent simulator", () => {
  test("tiny models of all features agree in every column of every world", () => {
    let beyond = 0
    for (const { seed, model } of solvedModels(8)) {
      const graph = planned(model)
      for (const played of playWorlds(graph, 300, worldsFor(graph))) {
        const world = worldsFor(graph).find(({ name }) => name === played.world)!
        const by = simulated(model, graph, world, 300, seed)
        expect(apart(played, by), `seed ${seed}, ${world.name}`).toEqual([])
        beyond += played.beyond.mean
      }
    }
    expect(beyond).toBeGreaterThan(0.1)
  }, 60_000)

  test("so does the ticket kiosk", () => {
    const { model, graph } = shelved("ticket-kiosk", { effort: 200 })
    for (const played of playWorlds(graph!, 100, worldsFor(graph!))) {
      const world = worldsFor(graph!).find(({ name }) => name === played.world)!
      expect(apart(played, simulated(model!, graph!, world, 100, 1)), world.name).toEqual([])
    }
  }, 60_000)

  test("a world that is not the same is noticed", () => {
    const { model, graph } = seat()
    const [played] = playWorlds(graph, 2000, [{ name: "seen half as often", recurs: 0.5 }])
    const names = (world: World) =>
      apart(played!, simulated(model, graph, world, 2000, 1)).map((each) => each.split(":")[0])
    expect(names({ name: "seen half as often", recurs: 0.5 })).toEqual([])
    expect(names({ name: "as written" })).toEqual(expect.arrayContaining(["leaves whole", "comes back"]))
  })
})

function seat() {
  const model = flakySeat()
  return { model, graph: planned(model) }
}

describe("worked by hand", () => {
  test("one setup, surely cured: what is not listed is handed over", () => {
    const model = modelOf({
      handover: 40,
      unlisted: 0.1,
      places: [{ name: "a", kind: "setup" }],
      faults: [{ name: "loose", in: "a", odds: 1 }],
      tests: [{ name: "redo", redoes: ["a"], minutes: 5 }],
    })
    const [none, all] = playWorlds(planned(model), 50, [
      { name: "all listed", unlisted: 0 },
      { name: "none listed", unlisted: 1 },
    ])
    expect(none).toMatchObject({ whole: { mean: 1 }, total: { mean: 5, error: 0 }, beyond: { mean: 0 } })
    expect(none!.unlisted).toEqual({ machines: 0, mean: Number.NaN, error: Number.NaN })
    expect(all).toMatchObject({ handedOver: { mean: 1 }, total: { mean: 45, error: 0 }, deadEnds: 0 })
    expect(all!.unlisted).toEqual({ machines: 50, mean: 1, error: 0 })
  })

  test("a part bought for what is not listed is bought in vain, and the machine is not handed over rightly", () => {
    const model = modelOf({
      handover: 1000,
      unlisted: 0.01,
      places: [{ name: "board", kind: "part", price: 30 }],
      faults: [{ name: "dead", in: "board", odds: 1 }],
      tests: [],
    })
    const [all] = playWorlds(planned(model), 20, [{ name: "none listed", unlisted: 1 }])
    expect(all).toMatchObject({
      handedOver: { mean: 1 },
      inVain: { mean: 30 },
      total: { mean: 1030 },
      unlisted: { machines: 20, mean: 0 },
    })
  })

  test("a misread reading is found on its other cell, and the machine itself stays as it is", () => {
    const model = modelOf({
      handover: 1000,
      comeback: 1000,
      places: [
        { name: "a", kind: "setup" },
        { name: "b", kind: "setup" },
      ],
      readings: [{ name: "lamp", cells: ["on", "off"], healthy: [1, 0] }],
      faults: [
        { name: "loose_a", in: "a", odds: 1, shows: { lamp: [1, 0] } },
        { name: "loose_b", in: "b", odds: 1, shows: { lamp: [0, 1] } },
      ],
      tests: [
        { name: "see", reads: ["lamp"], minutes: 1 },
        { name: "redo_a", redoes: ["a"], minutes: 30 },
        { name: "redo_b", redoes: ["b"], minutes: 30 },
      ],
    })
    const graph = planned(model)
    const [right, wrong] = playWorlds(graph, 40, [
      { name: "as written" },
      { name: "always misread", misread: 1 },
    ])
    expect(right).toMatchObject({ whole: { mean: 1 }, total: { mean: 31 }, beyond: { mean: 0 } })
    // The wrong seat is redone, the complaint stays, and nothing fits what was found.
    expect(wrong).toMatchObject({
      whole: { mean: 0 },
      handedOver: { mean: 1 },
      total: { mean: 1031 },
      beyond: { mean: 1 },
    })
  })
})

describe("luck", () => {
  test("is the same for the same job, and another for each job", () => {
    const first = Array.from({ length: 1000 }, (_, job) => generatorFor(job)())
    expect(first).toEqual(Array.from({ length: 1000 }, (_, job) => generatorFor(job)()))
    expect(new Set(first).size).toBeGreaterThan(990)
    const mean = first.reduce((sum, each) => sum + each, 0) / first.length
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / 1000))
  })

  test("picks by weight, and never what has none", () => {
    const random = seeded(1)
    const counts = [0, 0, 0, 0]
    for (let i = 0; i < 4000; i++) counts[pick([0, 3, 1, 0], random)]!++
    expect(counts[0]! + counts[3]!).toBe(0)
    expect(Math.abs(counts[1]! / 4000 - 0.75)).toBeLessThan(4 * Math.sqrt(0.1875 / 4000))
    expect(pick([0, 2, 0], () => 1 - 2 ** -32)).toBe(1)
  })

  test("gives the same figures each time, and the worlds of the command in their order", () => {
    const { graph } = seat()
    const figures = playWorlds(graph, 30)
    expect(playWorlds(graph, 30)).toEqual(figures)
    expect(figures.map(({ world }) => world)).toEqual(worldsOf(graph).map(({ name }) => name))
    for (const { whole, comesBack, handedOver, deadEnds } of figures)
      expect(whole.mean + comesBack.mean + handedOver.mean + deadEnds / 30).toBeCloseTo(1)
  })
})

test("a running mean is the mean, with its standard error", () => {
  const values = [4, 7, 13, 16]
  const mean = new RunningMean()
  for (const value of values) mean.add(value)
  expect(mean.count).toBe(4)
  expect(mean.result.mean).toBeCloseTo(10)
  expect(mean.result.error).toBeCloseTo(Math.sqrt(30 / 4))
  const single = new RunningMean()
  single.add(3)
  expect(single.result).toEqual({ mean: 3, error: Number.NaN })
})

test("the table names what is in each column, and the notes what becomes of rare machines", () => {
  const { graph } = seat()
  const worlds = playWorlds(graph, 200)
  const rows = worldsTable(graph, worlds)
  expect(rows.map((row) => row[0])).toEqual([
    "world",
    "as the plan expects",
    ...worldsOf(graph).map((w) => w.name),
  ])
  expect(rows[2]).toHaveLength(rows[0]!.length)
  expect(rows[2]![5]).toBe(`${worlds[0]!.total.mean.toFixed(2)} ± ${worlds[0]!.total.error.toFixed(2)}`)
  const { machines } = worlds.at(-1)!.unlisted
  expect(machines).toBeGreaterThan(0)
  expect(worldsNotes(worlds)).toEqual([
    `5 % not listed: of ${machines} machines with something not listed, 100.0 ± 0.0 % are handed over without a part bought in vain.`,
  ])
})
