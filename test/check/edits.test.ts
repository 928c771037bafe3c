import { describe, expect, test } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { drawnRuleset, editsOf, nothingTried, slippedRuleset, tryEdits } from "../support/edits.ts"

describe("every edit, applied by itself, can be read and takes its own problem away", () => {
  test("of the analysis, in drawn rulesets", { timeout: 120_000 }, () => {
    const tried = nothingTried()
    for (let seed = 1; seed <= 250; seed++) tryEdits(drawnRuleset(seed), tried)
    for (const { example } of checks) tryEdits(`${FRAME}\n${example}\n`, tried)
    expect(tried.faults).toEqual([])
    expect(editsOf(tried)).toBeGreaterThan(300)
    expect([...tried.counts.keys()]).toEqual(expect.arrayContaining(["contradiction", "idle-rule"]))
  })

  test("of reading and binding, in texts with a slip of the pen", { timeout: 120_000 }, () => {
    const tried = nothingTried()
    for (let seed = 1; seed <= 400; seed++) tryEdits(slippedRuleset(seed), tried)
    expect(tried.faults).toEqual([])
    expect(editsOf(tried)).toBeGreaterThan(200)
    expect(tried.counts.size).toBeGreaterThan(8)
  })
})
