import { expect, test } from "vitest"
import { graphText } from "../../compiler/graph/text.ts"
import { writeGraph } from "../../compiler/graph/write.ts"
import { meansOf } from "../../compiler/plan/means.ts"
import type { PlanOptions } from "../../compiler/plan/plan.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { makeProblem } from "../../compiler/plan/problem.ts"
import { Search } from "../../compiler/plan/search.ts"
import { machineFrom } from "../support/machines.ts"
import { medium, seeded, sketchFrom } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"

/** Too large for a proof, small enough for planning three times over. */
const middling = { ...medium, parts: 3, setups: 3, faults: 7, tests: 8, readings: 5 }
const models = [1, 7, 11].map((seed) => modelOf(sketchFrom(seeded(seed), middling)))

test.each(models)("model %# comes out the same however it is watched and cut up", (model) => {
  const text = (stride: number, watched: boolean) => {
    const planner = makePlanner(model, { effort: 600 })
    while (!planner.progress.done) {
      planner.advance(stride)
      if (watched) planner.plan()
    }
    return graphText(writeGraph(model, planner.plan(), { source: "sha256:0", compiler: "0" }))
  }
  const whole = text(Number.POSITIVE_INFINITY, false)
  expect(text(100, true)).toBe(whole)
  expect(text(37, false)).toBe(whole)
})

test.each(models)("a draft of model %# is the plan so far, and takes nothing from the search", (model) => {
  const planner = makePlanner(model, { effort: 600 })
  const { expanded } = planner.advance(50)
  const draft = planner.draft()
  expect(planner.progress.expanded).toBe(expanded)
  const plan = planner.plan()
  expect(draft).toEqual({ ...plan, expected: { ...plan.expected, unavoidable: 0 } })
  expect(plan.expected.unavoidable).toBeGreaterThan(0)
})

test("the thorough bound of the start counts whoever asked for it first", () => {
  const means = meansOf(makeProblem(modelOf(machineFrom(seeded(208), { faults: 12, tests: 12 }))))
  const search = new Search(means, means.dynamics.start())
  const bound = search.lowerAtFirst
  expect(search.root.lower).toBeLessThan(bound)
  search.boundThoroughly()
  expect(search.root.lower).toBe(bound)
})

test("a job is handed over only where that is the best plan, however few jobs come to a node", () => {
  const model = modelOf(sketchFrom(seeded(25), middling))
  const planner = makePlanner(model, { effort: 60, mass: 0.02 })
  planner.advance(Number.POSITIVE_INFINITY)
  const { nodes } = planner.plan()
  const costs = (kind: string) => nodes.filter((node) => node.do === kind).map(({ costToGo }) => costToGo)
  expect(new Set(costs("handover"))).toEqual(new Set([model.ruleset.handover]))
  expect(Math.min(...costs("advise"))).toBeLessThan(model.ruleset.handover)
})

test("what is spent is measured against the effort or the memory that applies, and never falls", () => {
  const model = modelOf(machineFrom(seeded(208), { faults: 12, tests: 12 }))
  const watched = (options: PlanOptions) => {
    const planner = makePlanner(model, options)
    const seen = [planner.progress.spent]
    while (!planner.advance(500).done) seen.push(planner.progress.spent)
    expect(seen).toEqual([...seen].sort((a, b) => a - b))
    expect(planner.progress.spent).toBe(1)
    return planner.progress
  }
  expect(watched({ effort: 3000 }).expanded).toBeGreaterThanOrEqual(3000)
  expect(watched({ memory: 4 }).bytes).toBeGreaterThanOrEqual(4 * 2 ** 20)
  const bySize = makePlanner(model).advance(1000)
  expect(bySize.spent).toBeLessThan(1000 / 10_000)
})
