import { describe, expect, test } from "vitest"
import { analyse } from "../../compiler/compile.ts"
import { applyChanges } from "../../compiler/diagnostics/apply-edits.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { GraphTexts } from "../../compiler/run/graph.ts"

const SHOP = `ruleset shop "Lamp: dark"
use "shop.de.ruleout"
part lamp "lamp" price 3 spare
complaint dark "it stays dark"
fault blown "lamp blown" in lamp odds 2  remedy "Fit a new one."
reading look "How does it look?" one of clear, black
reading drop "Drop" in V from 0 to 9 by 0.1
  takes a "At the supply" in V, b "At the lamp" in V  gives a - b
told fell "Did it fall?" yes or no
test see "Look at it" reads look needs "torch" caution "Hot." caution "Glass."
test meter "Meter it" reads drop needs "multimeter", "torch"
test try "Fit a good one" swaps lamp caution "Hot."
rule seen: when look is clear rule out blown because "clear glass"
when look is black leaves only blown because "black glass"
proof "Switch it on"
proof "Leave it on"
`.replace('"multimeter", "torch"', '"multimeter" needs "torch"')

const DRAWING = new TextEncoder().encode('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>')

function checked(texts: string, shop = SHOP) {
  const files = new Map([
    ["shop.ruleout", shop],
    ["shop.de.ruleout", texts],
  ])
  return analyse("shop.ruleout", (path) => files.get(path), { readPicture: () => DRAWING })
}

/** What is said of the texts; without what is missing, unless asked for. */
function problems(texts: string, all = false): string[] {
  return checked(texts)
    .diagnostics.filter(({ span }) => span.file === "shop.de.ruleout")
    .filter(({ code }) => all || code !== "missing-translation")
    .map(({ code, message, span }) => `${code} ${span.start}: ${message}`)
}

const texts = (entries: string) => checked(`texts de\n${entries}`).model!.languages![0]!

test("a model without texts has no languages", () => {
  expect(checked("").model).toBeDefined()
  expect(checked("").model!.languages).toBeUndefined()
})

test("each text stands where the graph has it", () => {
  const told = texts(`
    says shop "Lamp: dark" as "Lampe: dunkel"
    says dark "it stays dark" as "bleibt dunkel"
    says lamp "lamp" as "Lampe"
    says blown "lamp blown" as "Lampe durchgebrannt"
    remedy blown "Fit a new one." as "Neue einsetzen."
    says look "How does it look?" as "Wie sieht sie aus?"
    value look is black as "schwarz"
    takes drop "At the lamp" as "An der Lampe"
    says fell "Did it fall?" as "Ist sie gefallen?"
    says see "Look at it" as "Ansehen"
    needs "torch" as "Taschenlampe"
    caution see "Glass." as "Glas."
    because seen "clear glass" as "Glas klar"
    because "black glass" as "Glas schwarz"
    says "Leave it on" as "Brennen lassen"`)
  expect(told).toEqual({
    language: "de",
    ruleset: { title: "Lampe: dunkel" },
    complaint: { text: "bleibt dunkel" },
    places: [{ label: "Lampe" }],
    faults: [{ label: "Lampe durchgebrannt", remedy: "Neue einsetzen." }],
    readings: [
      { question: "Wie sieht sie aus?", cells: [{}, { label: "schwarz" }] },
      { takes: [{}, { question: "An der Lampe" }] },
      { question: "Ist sie gefallen?" },
    ],
    tests: [
      { instruction: "Ansehen", needs: ["Taschenlampe"], cautions: ["Hot.", "Glas."] },
      { needs: ["multimeter", "Taschenlampe"] },
      {},
      { instruction: "Ist sie gefallen?" },
    ],
    rules: [{ because: "Glas klar" }, { because: "Glas schwarz" }],
    proofs: [{}, { text: "Brennen lassen" }],
  })
})

test("what a picture shows stands in the order of the graph: those of cautions last", () => {
  const shop = SHOP.replace("price 3", 'price 3 picture "a.svg" "the lamp"').replace(
    'caution "Hot." caution "Glass."',
    'caution "Hot." picture "a.svg" "the hot end" caution "Glass." needs "cloth" picture "b.svg" "the glass"',
  )
  const { model } = checked(
    `texts de
    picture "the lamp" as "die Lampe"
    picture see "the hot end" as "das heiße Ende"`,
    shop,
  )
  expect(model!.tests[0]!.pictures!.map(({ text }) => text)).toEqual(["the glass", "the hot end"])
  const [{ places, tests }] = model!.languages as [GraphTexts]
  expect(places).toEqual([{ pictures: [{ text: "die Lampe" }] }])
  expect(tests![0]!.pictures).toEqual([{}, { text: "das heiße Ende" }])
})

test("an entry with a name goes before one for all that have the text, in whichever order", () => {
  for (const entries of [
    'caution "Hot." as "Heiß."\ncaution try "Hot." as "Sehr heiß."',
    'caution try "Hot." as "Sehr heiß."\ncaution "Hot." as "Heiß."',
  ]) {
    const { tests } = texts(entries)
    expect([tests![0]!.cautions, tests![2]!.cautions]).toEqual([["Heiß.", "Glass."], ["Sehr heiß."]])
    expect(problems(`texts de\n${entries}`)).toEqual([])
  }
})

test("several languages stand in the order of their tags, and texts of one are taken together", () => {
  const { model } = checked(`texts sv says lamp "lamp" as "lampa"
texts de says lamp "lamp" as "Lampe"
texts DE says blown "lamp blown" as "durchgebrannt"`)
  expect(model!.languages!.map(({ language, places, faults }) => [language, places, faults])).toEqual([
    ["de", [{ label: "Lampe" }], [{ label: "durchgebrannt" }]],
    ["sv", [{ label: "lampa" }], undefined],
  ])
})

describe("what is wrong is said at its place, and isn't shown", () => {
  test("a text that has changed since, with its name or near enough without", () => {
    expect(
      problems(`texts de
caution see "Very hot." as "Sehr heiß."
says "Switch it in" as "Einschalten"
says lamp "bulb" as "Birne"`),
    ).toEqual([
      "outdated-translation 21: The text of `see` has changed since.",
      "outdated-translation 54: This text has changed since.",
      "outdated-translation 96: The text of `lamp` has changed since.",
    ])
    expect(texts('says lamp "bulb" as "Birne"').places).toBeUndefined()
  })

  test("of two cautions the one that is translated already isn't taken for the one that has changed", () => {
    const { diagnostics } = checked(
      'texts de caution see "Very hot." as "Sehr heiß." caution see "Hot." as "Heiß."',
    )
    const [outdated] = diagnostics.filter(({ code }) => code === "outdated-translation")
    const [{ span } = { span: undefined }] = outdated!.labels
    expect(SHOP.slice(span!.start, span!.end)).toBe('"Glass."')
  })

  test.each([
    ['remedy lamp "x" as "y"', "wrong-kind 16: `lamp` is a part, not a fault."],
    ['says lmap "lamp" as "y"', "unknown-name 14: Nothing is called `lmap`."],
    [
      'caution try "Hot." as "a" caution try "Cold." as "b"',
      "unknown-translation 47: `try` has no other text for `caution`.",
    ],
    [
      'says "Something else altogether" as "x"',
      "unknown-translation 14: No text of the ruleset reads `Something else altogether`.",
    ],
    ['value look is pale as "blass"', "unknown-value 23: `pale` isn't a value of `look`."],
    ['value fell is yes as "ja"', "unknown-translation 23: `fell` has no text for `value`."],
    ['says lamp "lamp" as "a" says lamp "lamp" as "b"', "doubled-item 43: This text is translated twice."],
  ])("%s", (entry, problem) => {
    expect(problems(`texts de\n${entry}`)).toEqual([problem])
  })

  test.each([
    ["texts de_DE", "bad-language 6: `de_DE` isn't a language."],
    ["texts en", "bad-language 6: The ruleset's own texts are in `en`."],
  ])("%s", (source, problem) => {
    expect(problems(source)).toEqual([problem])
  })

  test("a ruleset says what its own texts are in", () => {
    const german = SHOP.replace('"Lamp: dark"', '"Lamp: dark" language de')
    expect(checked("", german).model!.ruleset.language).toBe("de")
    expect(checked("texts de", german).diagnostics.map(({ code }) => code)).toContain("bad-language")
    expect(checked("texts en", german).diagnostics.map(({ code }) => code)).not.toContain("bad-language")
  })
})

describe("what is missing", () => {
  const missing = (source: string): Diagnostic | undefined =>
    checked(source).diagnostics.find(({ code }) => code === "missing-translation")

  test("is counted, and the fix writes a line for each, once", () => {
    const begun = 'texts de\n  caution "Hot." as "Heiß."  # said at each\n'
    const first = missing(begun)!
    expect(first.message).toBe("`de` is missing 23 of 25 texts.")
    const filled = applyChanges(begun, first.edits[0]!.changes)
    expect(filled).toContain('# said at each\n  says shop "Lamp: dark" as ""\n')
    expect(filled.match(/needs/g)).toHaveLength(2)
    expect(problems(filled)).toEqual([])
    const second = missing(filled)!
    expect([second.message, second.edits]).toEqual([first.message, []])
    const done = filled.replaceAll('as ""', 'as "x"')
    expect(problems(done, true)).toEqual([])
    expect(JSON.stringify(checked(done).model!.languages)).not.toMatch(/Lamp|torch|Glass/)
  })
})
