import fc from "fast-check"
import { expect, test } from "vitest"
import { print } from "../../../compiler/syntax/format/format.ts"
import { tokenize } from "../../../compiler/syntax/lexer/lexer.ts"
import { makeLexer } from "../../../compiler/syntax/lexer/token-types.ts"
import { makeGrammar } from "../../../compiler/syntax/parser/grammar.ts"
import { parse } from "../../../compiler/syntax/parser/parse.ts"
import { isInLanguage } from "../../support/grammar.ts"
import { KIOSK_DARK } from "../../support/kiosk.ts"
import { anyTree } from "../../support/trees.ts"

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
  expect(() => makeGrammar(true)).not.toThrow()
})

test("the grammar of the language page accepts what is printed", () => {
  expect(isInLanguage(KIOSK_DARK)).toBe(true)
  const plain = anyTree.map((tree) => print(tree)).filter((text) => !/[℃\u2126]/.test(text))
  fc.assert(
    fc.property(plain, (text) => void expect(isInLanguage(text)).toBe(true)),
    { numRuns: 150 },
  )
})

/** The clauses that the kiosk has no use for. */
const REPAIRS = `ruleset lamp_dark "Desk lamp: dark" waiting 5 per hour second fault 3% unlisted 2%
  part tube "tube" price 8 spare behind hood fit takes 4 min fit costs 1 fit waits 48 h
  setup hood "hood"
  complaint dark "stays dark" takes 1 min tries 3
  fault dead "burnt out" in tube odds 3 eased by hood 10% eased by cord
  fault bent "bent contact" in hood odds 1 fix costs 1 fix takes 5 min fix waits 2 h
  told old "Is it old?" yes or no normally is yes 30% trust 80%
  reading warm "Warm?" yes or no
  test both "Both" swaps tube, base redoes hood 40%, cord takes 2 min waits 1 h after any of look, feel
  test bare "Without" removes tube, base tries 2 after look, feel
  when warm is no rule out dead, any in hood except bent, loose, any in base 90% because "x"
  rule cold: when warm is yes leaves only any in tube, bent except bent 99.5%
`

const words = tokenize(FILE, KIOSK_DARK).tokens.map(({ start, end }) => KIOSK_DARK.slice(start, end))
const newer = tokenize(FILE, REPAIRS).tokens.map(({ start, end }) => REPAIRS.slice(start, end))

test.each([words, newer])("without any one of its words, the ruleset is judged alike", (...all) => {
  expect(isInLanguage(all.join(" "))).toBe(true)
  for (const i of all.keys()) agree(all.filter((_, k) => k !== i).join(" "))
})

test("with words taken out, put in, and exchanged, on one line or many, the ruleset is judged alike", () => {
  const word = fc.oneof(
    fc.constantFrom(...words, ...newer),
    fc.constantFrom("(", ")", "not", ":", "rule", "one", "of", ",", "is", "%"),
  )
  const change = fc.record({
    at: fc.nat({ max: words.length + newer.length - 1 }),
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
      const text = [...words, ...newer]
      for (const { at, cut, put } of changes) text.splice(at, cut, ...put)
      agree(text.slice(from === 0 ? 40 : 0).join(joint))
    }),
    { numRuns: 500 },
  )
})
