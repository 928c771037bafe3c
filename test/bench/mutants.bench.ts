import { seeded } from "../support/models.ts"
import { mutant, wrongWith } from "../support/mutants.ts"
import { cpuSeconds } from "./time.ts"

export const title = "Mutated texts: 50,000 rulesets with mistakes in them, others than the suite's 2,000"

const TEXTS = 50_000
/** Of the suite. */
const TAKEN = 2_000

export function run(line: (text: string) => void): void {
  const began = cpuSeconds()
  let wrong = 0
  let slowest = { seed: 0, seconds: 0 }
  for (let seed = TAKEN + 1; seed <= TAKEN + TEXTS; seed++) {
    const from = cpuSeconds()
    const says = wrongWith(mutant(seeded(seed)))
    const seconds = cpuSeconds() - from
    if (seconds > slowest.seconds) slowest = { seed, seconds }
    if (says === undefined) continue
    wrong++
    if (wrong <= 20) line(`${seed}: ${says}`)
  }
  const all = cpuSeconds() - began
  line(`${TEXTS.toLocaleString("en")} texts, ${wrong} taken wrongly`)
  line(
    `${all.toFixed(0)} s of processor, ${((1000 * all) / TEXTS).toFixed(1)} ms a text; the slowest, ${slowest.seed}, ${(1000 * slowest.seconds).toFixed(0)} ms`,
  )
}
