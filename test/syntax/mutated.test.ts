import { expect, test } from "vitest"
import { seeded } from "../support/models.ts"
import { mutant, wrongWith } from "../support/mutants.ts"

test("2,000 texts with mistakes: nothing is thrown, all places are in the text, layout is stable", {
  timeout: 120_000,
}, () => {
  for (let seed = 1; seed <= 2000; seed++) {
    const text = mutant(seeded(seed))
    const wrong = wrongWith(text)
    expect(wrong === undefined ? undefined : `${seed}: ${wrong}:\n${text}`).toBeUndefined()
  }
})
