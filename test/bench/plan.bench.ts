import { makePlanner } from "../../compiler/plan/planner.ts"
import { medium, seeded, shop, sketchFrom, tiny } from "../support/models.ts"
import { bestTotal } from "../support/policies.ts"
import { modelOf } from "../support/sketch.ts"
import { median, ms, times } from "./time.ts"

export const title = "Planning, against trying every policy"

export function run(print: (line: string) => void): void {
  const models = Array.from({ length: 100 }, (_, i) => modelOf(sketchFrom(seeded(i + 1), tiny)))
  const exactly = () => {
    for (const model of models) {
      const planner = makePlanner(model, { gap: 0, mass: 0 })
      planner.advance(Number.POSITIVE_INFINITY)
    }
  }
  const planned = median(exactly, 5)
  const tried = median(() => models.map((model) => bestTotal(model)), 5)
  print(
    `100 tiny models exactly: ${ms(planned)}, trying every policy ${ms(tried)}: ${times(tried, planned)} as fast`,
  )

  for (const [name, size, effort] of [
    ["medium", medium, 2000],
    ["shop", shop, 1000],
  ] as const) {
    const model = modelOf(sketchFrom(seeded(1), size))
    const from = performance.now()
    const planner = makePlanner(model, { effort })
    const first = planner.progress.upper
    const started = performance.now()
    const { upper, lower, expanded } = planner.advance(effort)
    const took = performance.now() - started
    print(
      `${name} (${model.faults.length} faults, ${model.tests.length} tests): a first plan in ${ms(started - from)}; ` +
        `${expanded} states in ${ms(took)}; cost ${(upper / first).toFixed(3)} of the first plan's, ` +
        `lower bound ${(lower / upper).toFixed(3)} of the cost`,
    )
  }
}
