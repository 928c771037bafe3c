import { expect, test } from "vitest"
import { actionTitle, actionVerb, outcomeText } from "../../compiler/wording/actions.ts"
import { LANGUAGES, wordsOf } from "../../compiler/wording/catalogues.ts"
import { english } from "../../compiler/wording/words.ts"

test("each action says what to do, with the places that it is done to", () => {
  expect(actionTitle("replace", ["cooling fan"], english)).toBe("Replace: cooling fan")
  expect(actionTitle("putBack", ["fan", "cable"], english)).toBe("Put the old part back: fan and cable")
  expect(actionTitle("reads", ["Meter the rail."], english)).toBe("Meter the rail.")
  expect(actionTitle("close", [], english)).toBe("Close the job")
})

test("verbs and outcomes are all different, in each language", () => {
  const kinds = [
    "reads",
    "told",
    "swaps",
    "redoes",
    "removes",
    "takeOut",
    "putBack",
    "keep",
    "replace",
  ] as const
  const others = ["fix", "look", "close", "handover", "advise"] as const
  for (const words of LANGUAGES.map((language) => wordsOf(language))) {
    const verbs = [...kinds, ...others].map((kind) => actionVerb(kind, words))
    const outcomes = (["gone", "stays", "holds", "fails", "done"] as const).map((each) =>
      outcomeText(each, words),
    )
    expect(new Set(verbs).size).toBe(verbs.length)
    expect(new Set(outcomes).size).toBe(outcomes.length)
  }
})
