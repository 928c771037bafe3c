import { existsSync, readdirSync } from "node:fs"
import { join } from "node:path"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { open } from "../../compiler/run/index.ts"
import { compiledFrom } from "../../rulesets/read-model.ts"
import { graphOf } from "../support/graphs.ts"
import { maker, seeded, shop, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { worthOfAdvice } from "../support/worth.ts"
import { ms } from "./time.ts"

export const title =
  "Advice: every step taken from the model by the runner, against the compiled plan (goal on the flagship: 1.05)"

const rulesets = join(import.meta.dirname, "../../rulesets")

/** What is less likely counts as handed over, so that a total is somewhat too dear and never too cheap. */
const leastBranch = 1e-5

/** Models whose best plan is known, and what every step taken from the model costs against it. */
function ofDrawn(count: number): { readonly seed: number; readonly ratio: number }[] {
  const found: { seed: number; ratio: number }[] = []
  for (let seed = 1; found.length < count; seed++) {
    const model = modelOf(sketchFrom(seeded(seed), tiny))
    const planner = makePlanner(model, { effort: 3000, mass: 0, gap: 0 })
    planner.advance(Number.POSITIVE_INFINITY)
    const { exact, expected } = planner.plan()
    if (exact) found.push({ seed, ratio: worthOfAdvice(graphOf(model)).total / expected.total })
  }
  return found.sort((a, b) => b.ratio - a.ratio)
}

function lineOfDrawn(): string {
  const all = ofDrawn(300)
  const mean = all.reduce((sum, { ratio }) => sum + ratio, 0) / all.length
  const worst = all.slice(0, 5).map(({ seed, ratio }) => `${ratio.toFixed(3)} (seed ${seed})`)
  const dear = all.filter(({ ratio }) => ratio > 1.05).length
  return `${all.length} tiny models against the best plan (goals: mean 1.02, worst 1.3): mean ${mean.toFixed(4)}, worst ${worst.join(", ")}; above 1.05: ${dear}`
}

export function run(line: (text: string) => void): void {
  line(lineOfDrawn())
  for (const name of readdirSync(rulesets)) {
    const file = join(rulesets, name, `${name}.ruleout`)
    if (!existsSync(file)) continue
    const { graph } = compiledFrom(file)
    if (!graph) continue
    const { total, times } = worthOfAdvice(graph, leastBranch)
    const [sorted, { expected, proof }] = [[...times].sort((a, b) => a - b), graph]
    line(
      `${name}: ${total.toFixed(2)} against ${expected.total.toFixed(2)}${proof.exact ? " (proved best)" : ""}: ratio ${(total / expected.total).toFixed(4)}; ` +
        `${times.length} states, median ${ms(sorted[times.length >> 1]!)}, longest ${ms(sorted.at(-1)!)}`,
    )
  }
  for (const [name, size] of Object.entries({ shop, maker })) {
    const graph = graphOf(modelOf(sketchFrom(seeded(7), size)))
    const taken = [1, 2, 3].map(() => {
      const session = open(graph)
      const from = performance.now()
      session.next
      return performance.now() - from
    })
    line(
      `first step of a ${name}'s model (${size.faults} faults, ${size.tests} tests): ${taken.map(ms).join(", ")}`,
    )
  }
}
