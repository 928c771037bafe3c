import { describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open } from "../../compiler/run/index.ts"
import { belief, outcomes, start } from "../support/reference.ts"

/** One finding that a rare fault shows with `sensitivity` and everything else with `falsePositives`, in percent. */
function screening(prevalence: number, sensitivity: number, falsePositives: number): string {
  return `ruleset screening "One sign" trust 100%
    part rare_part "where the rare fault is"
    part common_part "where the common one is"
    complaint ill "it is not well"
    fault rare "rare" in rare_part odds ${prevalence}
      shows sign is yes ${sensitivity}%
    fault common "common" in common_part odds ${100 - prevalence}
    reading sign "Is the sign there?" yes or no
      normally is yes ${falsePositives}%
    test look "Look for the sign" reads sign takes 1 min`
}

describe.each([
  // D. M. Eddy 1982; G. Gigerenzer, U. Hoffrage, Psychological Review 102, 1995 (from memory, recomputed).
  ["1 % prevalence, 80 % sensitivity, 9.6 % false positives", screening(1, 80, 9.6), 0.0776],
  // W. Casscells, A. Schoenberger, T. B. Graboys, New England Journal of Medicine 299, 1978 (from memory, recomputed).
  ["one in a thousand, 5 % false positives, nothing missed", screening(0.1, 100, 5), 0.0196],
])("%s", (_, text, chance) => {
  const { model, graph } = compile("screening.ruleout", () => text)

  test("by the reference", () => {
    const yes = outcomes(model!, start(model!), { do: "test", test: 0 }).find(({ on }) => `${on}` === "0")
    expect(belief(model!, yes!.state).present[0]).toBeCloseTo(chance, 4)
  })

  test("by the runner, from text through the compiled graph", () => {
    const job = open(JSON.parse(JSON.stringify(graph))).find({ test: "look" }, "yes")
    expect(job.candidates.find(({ fault }) => fault === 0)!.present).toBeCloseTo(chance, 4)
  })
})
