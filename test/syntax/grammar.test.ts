import fc from "fast-check"
import { expect, test } from "vitest"
import { print } from "../../compiler/syntax/format/format.ts"
import { tokenize } from "../../compiler/syntax/lexer/lexer.ts"
import { makeLexer } from "../../compiler/syntax/lexer/token-types.ts"
import { Grammar } from "../../compiler/syntax/parser/declarations.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { isInLanguage } from "../support/grammar.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { anyTree } from "../support/trees.ts"

const FILE = "shop.ruleout"

/** What the grammar lets pass: clauses twice, and a question without its type. */
const BEYOND_GRAMMAR = /doubled-clause|has no type/

function errorsIn(text: string): string[] {
  return parse(FILE, text).diagnostics.map(({ code, message }) => `${code}: ${message}`)
}

function agree(text: string): void {
  const errors = errorsIn(text)
  if (errors.length > 0 && errors.every((error) => BEYOND_GRAMMAR.test(error))) return
  expect({ text, accepted: errors.length === 0, errors: isInLanguage(text) ? errors : [] }).toEqual({
    text,
    accepted: isInLanguage(text),
    errors: [],
  })
}

test("the parser library finds no mistake in the patterns, and no ambiguity in the grammar", () => {
  expect(makeLexer(true).lexerDefinitionErrors).toEqual([])
  expect(() => new Grammar(true)).not.toThrow()
})

test("the grammar of the language page accepts what is printed", () => {
  expect(isInLanguage(KIOSK_DARK)).toBe(true)
  const plain = anyTree.map((tree) => print(tree)).filter((text) => !/[℃\u2126]/.test(text))
  fc.assert(
    fc.property(plain, (text) => void expect(isInLanguage(text)).toBe(true)),
    { numRuns: 150 },
  )
})

const words = tokenize(FILE, KIOSK_DARK).tokens.map(({ start, end }) => KIOSK_DARK.slice(start, end))

test("without any one of its words, the ruleset is judged alike", () => {
  for (const i of words.keys()) agree(words.filter((_, k) => k !== i).join(" "))
})

test("with words taken out, put in, and exchanged, on one line or many, the ruleset is judged alike", () => {
  const word = fc.oneof(
    fc.constantFrom(...words),
    fc.constantFrom("(", ")", "not", ":", "rule", "one", "of", ",", "is", "%"),
  )
  const change = fc.record({
    at: fc.nat({ max: words.length - 1 }),
    cut: fc.nat({ max: 2 }),
    put: fc.array(word, { maxLength: 2 }),
  })
  const drawn = fc.tuple(
    fc.array(change, { minLength: 1, maxLength: 3 }),
    fc.constantFrom(" ", "\n"),
    fc.nat({ max: 8 }),
  )
  fc.assert(
    fc.property(drawn, ([changes, joint, from]) => {
      const text = [...words]
      for (const { at, cut, put } of changes) text.splice(at, cut, ...put)
      agree(text.slice(from === 0 ? 40 : 0).join(joint))
    }),
    { numRuns: 400 },
  )
})
