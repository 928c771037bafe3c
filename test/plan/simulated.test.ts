import { describe, expect, test } from "vitest"
import type { Model } from "../../compiler/model/model.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { flakySeat } from "../support/flaky-seat.ts"
import { graphOf } from "../support/graphs.ts"
import { plain, written } from "../support/hidden-machine.ts"
import { seeded } from "../support/models.ts"
import { shelved } from "../support/shelf.ts"
import { disagreements, simulate } from "../support/simulate.ts"
import { type Solved, solvedModels } from "../support/solved.ts"

/**
 * The figures of a plan against machines that are drawn and played through its graph: everything that is said of costs,
 * comebacks and parts bought in vain must come out so, within four standard errors. The draws are the same in every run.
 */
function planned(model: Model) {
  const planner = makePlanner(model, { gap: 0, mass: 0 })
  while (!planner.progress.done) planner.advance(1000)
  return graphOf(model, planner.plan())
}

test("tiny models of all features come out as their best plans expect", () => {
  let struck = 0
  for (const { seed, model } of solvedModels(25)) {
    const graph = planned(model)
    const simulated = simulate(model, graph, seeded(seed), 800)
    expect(disagreements(simulated, graph), `seed ${seed}`).toEqual([])
    expect(simulated, `seed ${seed}`).toMatchObject({ offGraph: 0, stuck: 0 })
    if (graph.expected.struck + graph.expected.forbidden > 0.01) struck++
  }
  expect(struck).toBeGreaterThan(0)
}, 120_000)

test("the simulator notices where a plan's figures are wrong", () => {
  const model = flakySeat()
  const graph = planned(model)
  expect(disagreements(simulate(model, graph, seeded(1), 2000), graph)).toEqual([])
  // The same graph where the fault is seen half as often as it says, so that more machines come back.
  const wrong = disagreements(simulate(model, graph, seeded(1), 2000, { ...written, recurs: 0.5 }), graph)
  expect(wrong.map((each) => each.split(":")[0])).toEqual(expect.arrayContaining(["comesBack", "repairs"]))
})

test("a part of the jobs beyond the graph stands for all of them", () => {
  const [{ seed, model }] = solvedModels(1) as [Solved]
  // Nothing is planned: each job is the runner's from its first step.
  const graph = graphOf(model)
  const [all, some] = [1, 0.25].map((share) => simulate(model, graph, seeded(seed), 2000, written, share))
  const { mean, error } = all!.figures.total
  const other = some!.figures.total
  expect(Math.abs(mean - other.mean)).toBeLessThan(4 * Math.hypot(error, other.error))
  expect(other.error).toBeGreaterThan(1.5 * error)
  expect(some!.offGraph).toBe(1)
})

/** The one that takes seconds; the bench of worlds plays all of the shelf. */
describe("ticket-kiosk", () => {
  // A hurried plan has figures as well, and they must be as true as those of a good one.
  const compiled = () => shelved("ticket-kiosk", { effort: 1000 })

  test("has no errors", () => {
    expect(compiled().diagnostics.filter((each) => each.severity === "error")).toEqual([])
  })

  test("comes out as its graph expects", () => {
    const { model, graph } = compiled()
    const simulated = simulate(model!, graph!, seeded(1), 3000)
    expect(disagreements(simulated, graph!)).toEqual([])
    expect(simulated).toMatchObject({ stuck: 0, unexplained: 0 })
    expect(simulated.offGraph).toBeLessThan(0.05)
  }, 120_000)

  test("lets nobody get stuck where machines know nothing of its rules", () => {
    const { model, graph } = compiled()
    expect(simulate(model!, graph!, seeded(2), 200, plain)).toMatchObject({ stuck: 0 })
  }, 120_000)
})
