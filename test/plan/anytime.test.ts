import { expect, test } from "vitest"
import { graphText } from "../../compiler/graph/text.ts"
import { writeGraph } from "../../compiler/graph/write.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { medium, seeded, sketchFrom } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"

const models = [1, 4, 7, 11].map((seed) => modelOf(sketchFrom(seeded(seed), medium)))

test.each(models)("model %# comes out the same however it is watched and cut up", (model) => {
  const text = (stride: number, watched: boolean) => {
    const planner = makePlanner(model, { effort: 1500 })
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
