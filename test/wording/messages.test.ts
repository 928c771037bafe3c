import { readdirSync, readFileSync } from "node:fs"
import { dirname } from "node:path"
import { describe, expect, test } from "vitest"
import { LANGUAGES, wordsOf } from "../../compiler/wording/catalogues.ts"
import {
  differences,
  englishModule,
  patternIn,
  tableModule,
} from "../../compiler/wording/messages/compile.ts"
import { catalogue, compiledMessages, languages, rooms } from "../../playground/build/compiled-messages.ts"

describe("the catalogues", () => {
  test("have the same keys and arguments in each language", () => {
    expect(rooms.length).toBeGreaterThan(0)
    expect([...languages].sort()).toEqual([...LANGUAGES].sort())
    const wrong = languages.flatMap((language) =>
      rooms.flatMap((room) => differences(catalogue("en", room), catalogue(language, room))),
    )
    expect(wrong).toEqual([])
  })

  test("use no key in two rooms", () => {
    const keys = rooms.flatMap((room) => Object.keys(catalogue("en", room)))
    expect(keys.filter((key, i) => keys.indexOf(key) !== i)).toEqual([])
  })

  test("are all known to whoever asks for the language", () => {
    for (const language of languages.filter((each) => each !== "en")) {
      const words = wordsOf(language)
      const keys = rooms.flatMap((room) => Object.keys(catalogue(language, room)))
      expect(keys.filter((key) => words.say<undefined>([key, "unknown"]) === "unknown")).toEqual([])
    }
  })

  test("are compiled as they stand: `npm run messages` changes nothing", () => {
    const files = compiledMessages()
    const [folder = ""] = [...files.keys()].map(dirname)
    expect(readdirSync(folder).sort()).toEqual(
      [...files.keys()].map((file) => file.slice(folder.length + 1)).sort(),
    )
    for (const [file, text] of files) expect(readFileSync(file, "utf8")).toBe(text)
  })
})

describe("a message", () => {
  test("is compiled into its pieces", () => {
    expect(patternIn("It''s '{done}', don't touch")).toBe("It's {done}, don't touch")
    expect(patternIn("{n, plural, =0 {none} one {# part} other {# parts}} of {what}")).toEqual([
      ["n", "plural", { "=0": "none", one: [["n", "number"], " part"], other: [["n", "number"], " parts"] }],
      " of ",
      ["what"],
    ])
    expect(patternIn("{how, select, gone {it is gone} other {{n, number} left}}")).toEqual([
      ["how", "select", { gone: "it is gone", other: [["n", "number"], " left"] }],
    ])
  })

  test("is a constant in English, with the types of its arguments, and a row of a table in another language", () => {
    const text = { parts: "{n, number} of {what} {how, select, a {x} other {y}}" }
    expect(englishModule(text).split("\n")[3]).toBe(
      'export const parts: Message<{ readonly how: "a" | "other"; readonly n: number; readonly what: string }> = ' +
        '["parts",[["n","number"]," of ",["what"]," ",["how","select",{"a":"x","other":"y"}]]]',
    )
    expect(tableModule({ parts: "{n, number}" }).split("\n")[4]).toBe('  parts: [["n","number"]],')
  })

  test.each([
    ["{n", "a: EXPECT_ARGUMENT_CLOSING_BRACE"],
    ["{n, plural, offset:1 one {x} other {y}}", "a: only plurals without an offset are known"],
    ["{n, selectordinal, one {x} other {y}}", "a: only plurals without an offset are known"],
    ["{n, number, percent}", "a: numbers have no style of their own: give the text of a figure"],
    ["{day, date}", "a: only texts, numbers, plural and select are known"],
    ["{n} {n, number}", "a: {n} is given as string and as number"],
  ])("that can't be said is refused: %s", (text, problem) => {
    expect(() => englishModule({ a: text })).toThrow(new SyntaxError(problem))
  })

  test("has a key that is a name", () => {
    expect(() => englishModule({ "two words": "x" })).toThrow("two words: a key is a name in camel case")
  })

  test("differs from the English one by key or arguments, never by their order", () => {
    const english = { a: "{x} {y}", b: "{x}", c: "c" }
    expect(differences(english, { a: "{y} {x}", b: "{z}", d: "d" })).toEqual([
      "b takes <{ readonly z: string }>, in English <{ readonly x: string }>",
      "c is missing",
      "d isn't in the English catalogue",
    ])
  })
})
