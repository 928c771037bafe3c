import { describe, expect, test } from "vitest"
import { evaluate, type Figures } from "../support/policies.ts"
import { shelved } from "../support/shelf.ts"

/** Two whose paths are few enough for a reference that is slow on purpose. */
const shipped = ["ticket-kiosk", "link-down-slow"]

/** Graphs of shipped rulesets, each walked along all of its paths by the reference. */
describe.each(shipped)("%s", (folder) => {
  // Nothing is left to the runner, so that the walk is whole; the plan need not be a good one for this.
  const { model, graph, diagnostics } = shelved(folder, { effort: 12, mass: 0 })

  test("has no errors", () => {
    expect(diagnostics.filter((each) => each.severity === "error")).toEqual([])
  })

  test("costs, takes, buys and hands over as its graph says", { timeout: 600_000 }, () => {
    const walked = evaluate(model!, graph!)
    for (const key of Object.keys(walked) as (keyof Figures)[])
      expect(graph!.expected[key], key).toBeCloseTo(walked[key], 7)
    expect(graph!.proof.lower).toBeLessThanOrEqual(walked.total + 1e-8)
  })
})
