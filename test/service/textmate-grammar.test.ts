import { readdirSync, readFileSync } from "node:fs"
import { createRequire } from "node:module"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import oniguruma from "vscode-oniguruma"
import textmate from "vscode-textmate"
import { highlight } from "../../compiler/service/highlight.ts"
import { SCOPES, textmateGrammar } from "../../compiler/service/textmate-grammar.ts"
import { examplesOf } from "../support/examples.ts"

const root = join(import.meta.dirname, "../..")
const wasm = createRequire(import.meta.url).resolve("vscode-oniguruma/release/onig.wasm")

async function loadGrammar(): Promise<textmate.IGrammar> {
  await oniguruma.loadWASM(readFileSync(wasm))
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(JSON.stringify(textmateGrammar()), "grammar.json"),
  })
  return (await registry.loadGrammar("source.ruleout"))!
}

const grammar = await loadGrammar()

/** Each stretch with the scope it is given, as the highlighter would say it; white space left out. */
function byGrammar(line: string) {
  return grammar.tokenizeLine(line, textmate.INITIAL).tokens.flatMap(({ startIndex, endIndex, scopes }) => {
    const scope = scopes.at(-1)!
    const text = line.slice(startIndex, endIndex)
    return text.trim() === "" || scope === "source.ruleout"
      ? []
      : [`${startIndex} ${text.trimEnd()} ${scope}`]
  })
}

function byLexer(line: string) {
  return highlight(line).map(({ start, end, look }) => `${start} ${line.slice(start, end)} ${SCOPES[look]}`)
}

function filesIn(folder: string, ending: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(ending))
    .map((name) => join(root, folder, name))
}

function differences(lines: readonly string[]) {
  return lines.flatMap((line) => {
    const [ours, theirs] = [byLexer(line), byGrammar(line)]
    return ours.join("\n") === theirs.join("\n") ? [] : [{ line, ours, theirs }]
  })
}

const rulesets = filesIn("rulesets", ".ruleout")
const pages = [...filesIn("compiler/reference", ".md"), ...filesIn("rulesets/handbook", ".md")]

test.each(rulesets.map((file) => [file.slice(root.length + 1), file]))(
  "%s has the same tokens by the grammar as by the lexer",
  (_, file) => {
    const lines = readFileSync(file, "utf8").split(/\r?\n/)
    expect(lines.length).toBeGreaterThan(5)
    expect(differences(lines)).toEqual([])
  },
)

test("so have the examples of the reference and of the handbook", () => {
  const examples = pages
    .flatMap((page) => examplesOf(page, readFileSync(page, "utf8")))
    .filter(({ info }) => info.startsWith("ruleout"))
  expect(examples.length).toBeGreaterThan(20)
  expect(differences(examples.flatMap(({ text }) => text.split("\n")))).toEqual([])
})

describe("the grammar tells apart what only its place tells apart", () => {
  test.each([
    ["a contextual word that is a name", "part fit price 3 behind removes, waits", "2 names"],
    ["a unit that is a word of the language", "takes 4 min waits 2 h", "2 units"],
    ["a declaration that is not the first of its line", 'part a "x" part b "y"', "2 new names"],
    ["a name of the same letters as a word", "in rail_is and island", "2 names"],
    ["what is no token", 'caution "open; and', "1 broken"],
  ])("%s", (_, line, expected) => {
    expect(differences([line])).toEqual([])
    const looks = highlight(line).map(({ look }) => look)
    const [count, what] = [Number(expected.split(" ")[0]), expected.slice(2).replace(/s$/, "")]
    expect(looks.filter((look) => look === what.replace("new name", "new-name"))).toHaveLength(count)
  })
})
