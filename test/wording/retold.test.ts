import { expect, test } from "vitest"
import { wordsOf } from "../../compiler/wording/catalogues.ts"
import type { Message } from "../../compiler/wording/message.ts"
import { retold } from "../../compiler/wording/retold.ts"
import { Words } from "../../compiler/wording/words.ts"

const between: Message<{ readonly from: string; readonly to: string }> = [
  "between",
  ["from ", ["from"], " to ", ["to"], "."],
]
const bare: Message<{ readonly what: string }> = ["bare", [["what"], " is in"]]
const german = new Words("de", {
  between: ["von ", ["from"], " bis ", ["to"], "!"],
  bare: ["drin ist ", ["what"]],
  either: [["one"], " oder ", ["other"]],
  yes: "ja",
  no: "nein",
})
const said = (text: string) => retold(text, [between, bare], german)

test.each([
  ["from here to there.", "von here bis there!"],
  ["from 1.5 to 2.5.", "von 1,5 bis 2,5!"],
  ["from a to b to c.", "von a bis b to c!"],
  ["the fan is in", "drin ist the fan"],
  // An argument is never empty, and a message is the whole text.
  ["from  to there.", "from  to there."],
  [" is in", " is in"],
  ["from here to there", "from here to there"],
  ["so from here to there.", "so from here to there."],
  ["is", "is"],
])("%j is retold as %j", (text, expected) => {
  expect(said(text)).toBe(expected)
})

test("English stays as it is, and values that are listed are retold one by one", () => {
  expect(retold("from a to b.", [between], wordsOf("en"))).toBe("from a to b.")
  expect(said("from `yes` or `no` to b.")).toBe("von `ja` oder `nein` bis b!")
})

test("however often the pieces come, the text is looked through once", () => {
  const many = `from ${" to ".repeat(1_000_000)}`
  expect(said(many)).toBe(many)
})
