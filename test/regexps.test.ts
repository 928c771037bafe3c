import { analyse } from "scslre"
import { describe, expect, test } from "vitest"
import { nodesIn, programOf, sourceFiles } from "./support/source-files.ts"

/** What may backtrack, and why no text from outside makes it do so for long. */
const bounded: Readonly<Record<string, string>> = {
  "compiler/model/fraction.ts /0+$/":
    "on digits that the program has written itself, as many as were asked for",
  "compiler/ship/feel.ts /\\.?0+$/": "on a number that the program has written itself",
  "compiler/cases/fit/patch.ts /0+$/": "on a number that the program has written itself",
  "compiler/cases/fit/patch.ts /\\.?0+$/": "on a number that the program has written itself",
  'compiler/syntax/lexer/token-types.ts /[a-z_][a-z0-9_]*(?![^\\s"#,:()%])/':
    "the lexer only tries it where a token begins, and what it doesn't take, the wide word does",
}

/** Made from other expressions of the same file, which are literals, or from words of the language. */
const composed = [
  "compiler/service/declaration-at.ts",
  "compiler/syntax/lexer/character-problems.ts",
  "playground/help/is-whole-ruleset.ts",
  "playground/help/search.ts",
]

const files = sourceFiles("compiler", "playground")

interface Pattern {
  readonly pattern: string
  readonly flags: string
}

/** Whether some text that repeats one character makes it take more than a time in step with its length. */
function isSlow({ pattern, flags }: Pattern): boolean {
  const types = { Move: !flags.includes("y") }
  return analyse({ source: pattern, flags }, { reportTypes: types }).reports.length > 0
}

describe("what is slow", () => {
  test.each([
    ["^(a+)+$", true],
    ["^(.*?)\\s*(?:\\[\\s*([^\\]]+?)\\s*\\]|\\s+in\\s+(\\S+))$", true],
    ["^[-+]?\\d*\\.?\\d*(?:e\\d+)?\\s*(.*)x$", true],
    ["\\s+$", true],
    ["^\\d+(?:\\.\\d+)?$", false],
    ["[a-z]+_", true],
  ])("/%s/: %s", (pattern, slow) => {
    expect(isSlow({ pattern, flags: "" })).toBe(slow)
  })
})

test("no regular expression backtracks for long, whatever it is given", () => {
  const all = files.flatMap((source) =>
    [...nodesIn(programOf(source))]
      .filter(({ type, regex }) => type === "Literal" && regex !== undefined)
      .map(({ regex }) => ({ file: source.file, ...(regex as Pattern) })),
  )
  expect(all.length).toBeGreaterThan(150)
  const slow = all.filter(isSlow).map(({ file, pattern, flags }) => `${file} /${pattern}/${flags}`)
  expect([...new Set(slow)].sort()).toEqual(Object.keys(bounded).sort())
})

test("regular expressions are literals, so that they are looked at", () => {
  const makers = files.filter(({ text }) => /\bRegExp\(/.test(text)).map(({ file }) => file)
  expect(makers.sort()).toEqual(composed)
})
