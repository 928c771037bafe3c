import { expect, test } from "vitest"
import { actionTitle, actionVerb, outcomeText } from "../../compiler/wording/actions.ts"

test("each action says what to do, with the places that it is done to", () => {
  expect(actionTitle("replace", ["cooling fan"])).toBe("Replace: cooling fan")
  expect(actionTitle("putBack", ["fan", "cable"])).toBe("Put the old part back: fan and cable")
  expect(actionTitle("reads", ["Meter the rail."])).toBe("Meter the rail.")
  expect(actionTitle("close")).toBe("Close the job")
})

test("verbs and outcomes are all different", () => {
  for (const words of [actionVerb, outcomeText]) {
    const all = Object.values(words)
    expect(new Set(all).size).toBe(all.length)
  }
})
