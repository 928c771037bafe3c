import { describe, expect, test } from "vitest"
import { bind } from "../../../compiler/model/bind.ts"
import { print } from "../../../compiler/syntax/format/format.ts"
import { CONTEXTUAL_WORDS } from "../../../compiler/syntax/language/keywords.ts"
import { SCENARIO_WORDS } from "../../../compiler/syntax/language/scenarios.ts"
import { TEXTS_WORDS } from "../../../compiler/syntax/language/texts.ts"
import { parse } from "../../../compiler/syntax/parser/parse.ts"

const read = (text: string) => parse("shop.ruleout", text)

/** A ruleset of version 0.1 in which everything has a name that is a word of the language since. */
const OLD = `ruleset waiting "A ruleset from before"
  version "1.0.0"
complaint removes "it stays dark"
part fit "fit" price 3 spare behind waits
setup waits "waits" of fit behind unlisted
setup unlisted "unlisted"
fault eased "eased" in waits odds 2
  shows second is no 90%
  shows removes 50%
reading second "second" yes or no
test waiting_1 "waits" reads second after eased_2
test eased_2 "eased" swaps fit redoes waits 50%, unlisted 20% risks fit 5%
when second is yes rule out eased
proof "proof" expects second is yes for waits, fit
`

test("words of version 0.2 are still names in rulesets from before", () => {
  const { tree, diagnostics } = read(OLD)
  expect(diagnostics).toEqual([])
  const { model, diagnostics: problems } = bind([tree])
  expect(problems).toEqual([])
  expect(model!.places.map(({ name, behind }) => [name, behind])).toEqual([
    ["fit", [1]],
    ["waits", [2]],
    ["unlisted", []],
  ])
  expect(model!.faults.map(({ name, recurs, eased }) => [name, recurs, eased])).toEqual([["eased", 0.5, []]])
  const printed = print(tree)
  expect(read(printed).diagnostics).toEqual([])
  expect(print(read(printed).tree)).toBe(printed)
})

describe("beside their clauses", () => {
  test("names and clauses of one word stand side by side", () => {
    const { tree, diagnostics } = read(`ruleset second "x" waiting 3 per hour second
      fault 5% unlisted 1%
      part fit "x" behind fit fit waits 2 h
      setup fit "x" behind waits, fit
      fault eased "x" in eased odds 1 eased by eased 20% fix waits 1 h
      test removes "x" removes removes, waits waits 5 min after waits, removes`)
    expect(diagnostics).toEqual([])
    const [ruleset, part, , fault, test] = tree.declarations
    expect(ruleset).toMatchObject({ name: { text: "second" }, waiting: { value: 3 }, second: { value: 5 } })
    expect(part).toMatchObject({ name: { text: "fit" }, behind: [{ text: "fit" }], fitWaits: { value: 2 } })
    expect(fault).toMatchObject({
      place: { text: "eased" },
      eased: [{ name: { text: "eased" } }],
      fixWaits: { value: 1 },
    })
    expect(test).toMatchObject({
      removes: [{ text: "removes" }, { text: "waits" }],
      waits: { value: 5 },
      after: [{ text: "waits" }, { text: "removes" }],
    })
  })

  const ofOthers = new Set(`${SCENARIO_WORDS} ${TEXTS_WORDS}`.split(" "))
  test.each([...CONTEXTUAL_WORDS].filter((word) => !ofOthers.has(word)))(
    "a clause that begins with `%s` is read after a list that was cut short",
    (word) => {
      const rest: Record<string, string> = {
        waiting: 'ruleset r "x" money waiting 3 per hour',
        second: 'ruleset r "x" money second fault 3%',
        unlisted: 'ruleset r "x" money unlisted 3%',
        fit: 'part p "x" behind fit takes 3 min',
        waits: 'test t "x" reads a after waits 3 min',
        eased: 'fault f "x" odds 1 in eased by seat',
        removes: 'test t "x" after\nremoves p',
        picture: 'test t "x" reads a after\npicture "a.svg" "x"',
        language: 'ruleset r "x" money\nlanguage de',
        gives: 'reading r "x" in V from 0 to 9 takes a "A" in\ngives a',
      }
      const { tree, diagnostics } = read(rest[word]!)
      expect(diagnostics.map(({ code, message }) => [code, message.startsWith("Expected")])).toEqual([
        ["incomplete", true],
      ])
      expect(JSON.stringify(tree.declarations[0])).toMatch(
        /"value":3|"language":\{"text":"de"|"text":"seat"|"removes":\[\{"text":"p"|"gives":\{"kind":"name"|"path":\{"value":"a.svg"/,
      )
    },
  )
})
