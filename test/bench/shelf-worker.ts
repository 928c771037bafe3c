import { join } from "node:path"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { readModel } from "../../rulesets/read-model.ts"
import { cpuSeconds } from "./time.ts"

/** What planning one shipped ruleset at the default effort comes to. */
export interface Shelved {
  readonly total: number
  readonly lower: number
  readonly unavoidable: number
  /** Total of the plan that there is after so many seconds of processor. */
  readonly early: number
  readonly seconds: number
  readonly peak: number
}

const EARLY = 3

/** Plans one ruleset in a process of its own, so that the peak of its memory is its own. */
const [name] = process.argv.slice(2)
const model = readModel(join(import.meta.dirname, `../../rulesets/${name}/${name}.ruleout`))
const from = cpuSeconds()
const planner = makePlanner(model)
let early = model.ruleset.handover
while (!planner.progress.done) {
  const { upper } = planner.advance(1)
  if (cpuSeconds() - from <= EARLY) early = upper
}
const { expected, lower } = planner.plan()
const shelved: Shelved = {
  total: expected.total,
  lower,
  unavoidable: expected.unavoidable,
  early,
  seconds: cpuSeconds() - from,
  peak: process.resourceUsage().maxRSS / 1024,
}
process.send?.(shelved)
