import { readdirSync, readFileSync } from "node:fs"
import { join, sep } from "node:path"
import { analyse } from "scslre"
import { parseAst } from "vite"
import { describe, expect, test } from "vitest"

const root = join(import.meta.dirname, "..")

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
  "compiler/service/complete.ts",
  "compiler/syntax/lexer/character-problems.ts",
  "playground/help/is-whole-ruleset.ts",
  "playground/help/search.ts",
]

const files = ["compiler", "playground"].flatMap((top) =>
  readdirSync(join(root, top), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts"))
    .map((name) => join(top, name).split(sep).join("/")),
)

interface Node {
  readonly type?: string
  readonly regex?: { readonly pattern: string; readonly flags: string }
}

/** The regular expressions of a program, as they stand in it. */
function literalsIn(node: unknown): { pattern: string; flags: string }[] {
  if (typeof node !== "object" || node === null) return []
  const { type, regex } = node as Node
  if (type === "Literal" && regex) return [regex]
  return Object.values(node).flatMap(literalsIn)
}

/** Whether some text that repeats one character makes it take more than a time in step with its length. */
function isSlow({ pattern, flags }: { pattern: string; flags: string }): boolean {
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
  const all = files.flatMap((file) => {
    const lang = file.endsWith("x") ? ("tsx" as const) : ("ts" as const)
    const program = parseAst(readFileSync(join(root, file), "utf8"), { lang })
    return literalsIn(program).map((literal) => ({ file, ...literal }))
  })
  expect(all.length).toBeGreaterThan(150)
  const slow = all.filter(isSlow).map(({ file, pattern, flags }) => `${file} /${pattern}/${flags}`)
  expect([...new Set(slow)].sort()).toEqual(Object.keys(bounded).sort())
})

test("regular expressions are literals, so that they are looked at", () => {
  const makers = files.filter((file) => /\bRegExp\(/.test(readFileSync(join(root, file), "utf8")))
  expect(makers.sort()).toEqual(composed)
})
