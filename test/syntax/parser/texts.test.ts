import { describe, expect, test } from "vitest"
import { print } from "../../../compiler/syntax/format/format.ts"
import { texts } from "../../../compiler/syntax/language/texts.ts"
import { parse } from "../../../compiler/syntax/parser/parse.ts"
import type { TextsDecl } from "../../../compiler/syntax/syntax-tree.ts"

const read = (text: string) => parse("shop.de.ruleout", text)
const said = (text: string) => read(text).diagnostics.map(({ code, message }) => `${code}: ${message}`)

test("each entry is read by its example, and printed as it was", () => {
  for (const { example, field } of texts.clauses) {
    const source = `texts de\n  ${example}\n`
    const { tree, diagnostics } = read(source)
    expect(diagnostics, example).toEqual([])
    const [decl] = tree.declarations as readonly [TextsDecl]
    expect((decl as unknown as Record<string, unknown[]>)[field], example).toHaveLength(1)
    expect(print(tree)).toBe(source)
  }
})

test("an entry that is too long for a line goes on below it", () => {
  const text = "the screen stays dark for a minute after power-up"
  const source = `texts de\n  says dark "${text}"\n    as "${text}"\n`
  expect(print(read(source.replace(/\n +/g, " ")).tree)).toBe(source)
})

test.each(["pt-BR", "zh-Hant", "is", "or", "no", "value"])("`%s` is the tag of a language", (tag) => {
  const { tree, diagnostics } = read(`texts ${tag}\n  says a "b" as "c"\npart p "p"`)
  expect(diagnostics).toEqual([])
  expect(tree.declarations).toMatchObject([{ tag: { text: tag }, says: [{ name: { text: "a" } }] }, {}])
})

describe("mistakes are said at their place, and the other entries are kept", () => {
  test.each([
    ["texts", "Expected a language after `texts`."],
    ["texts de\n  says rail as", "Expected a name or a text in quotes, but found `as`."],
    ['texts de\n  says rail "Rail"', "Expected `as` after"],
    ['texts de\n  sais rail "Rail" as "Schiene"', "`sais` isn't a keyword; `says` is."],
    ['texts de\n  value glow bright as "hell"', "Expected `is`"],
    ['texts de\n  price "x"', "`price` doesn't belong in a `texts`."],
  ])("%s", (source, message) => {
    const whole = `${source}\n  caution "Hot." as "Heiß."\n`
    expect(said(whole).join("\n")).toContain(message)
    expect(read(whole).tree.declarations).toMatchObject([{ hazards: [{ text: { value: "Heiß." } }] }])
  })
})
