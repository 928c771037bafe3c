import { seeded } from "../support/models.ts"
import { mutant, wrongWith } from "../support/mutants.ts"

export const title = "Mutated texts: 50,000 rulesets with mistakes in them, others than the suite's 2,000"

const TEXTS = 50_000
/** Of the suite. */
const TAKEN = 2_000

export function run(line: (text: string) => void): void {
  let wrong = 0
  for (let seed = TAKEN + 1; seed <= TAKEN + TEXTS; seed++) {
    const says = wrongWith(mutant(seeded(seed)))
    if (says === undefined) continue
    wrong++
    if (wrong <= 20) line(`${seed}: ${says}`)
  }
  line(`${TEXTS.toLocaleString("en")} texts, ${wrong} taken wrongly`)
}
