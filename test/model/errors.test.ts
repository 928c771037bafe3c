import { describe, expect, test } from "vitest"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { renderText } from "../../compiler/diagnostics/render.ts"
import { bind } from "../../compiler/model/bind.ts"
import { CODES } from "../../compiler/model/codes.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"

/**
 * Every error of binding, as the user reads it: the source and the rendered finding stand together in the snapshot.
 * `HEAD` makes a program of the lines that a case is about.
 */
const HEAD = `ruleset r "R"
complaint dark "dark"
part supply "24 V supply" spare
setup plug "plug" of supply
fault worn "worn" in supply odds 1
reading glow "Any glow?" yes or no
reading lamp "Lamp colour" one of red, amber, green
reading rail "Rail" in V from 0 to 30 by 0.01
reading heat "Case" in degC from -40 to 125
told moved "Moved?" yes or no
test look "Look" reads glow, lamp, rail, heat
`

const said = (text: string): Diagnostic[] => {
  const { tree, diagnostics } = parse("main.ruleout", text)
  expect(diagnostics).toEqual([])
  const bound = bind([tree])
  expect(bound.model === undefined).toBe(bound.diagnostics.some(({ severity }) => severity === "error"))
  for (const { code, severity } of bound.diagnostics)
    expect(CODES[code as keyof typeof CODES]?.[0]).toBe(severity)
  return bound.diagnostics
}

const met = new Set<string>()

/** Cases of one code: each must give that finding and nothing besides. */
function cases(code: keyof typeof CODES, sources: Record<string, string>, head = HEAD): void {
  met.add(code)
  describe(code, () => {
    test.each(Object.entries(sources))("%s", (_, source) => {
      const text = head + source
      const diagnostics = said(text)
      expect(diagnostics.map((finding) => finding.code)).toEqual([code])
      expect(
        `\n${source}\n\n${renderText(diagnostics, new Map([["main.ruleout", text]]))}\n`,
      ).toMatchSnapshot()
      for (const { changes } of diagnostics[0]!.edits) {
        // What an edit offers must mend what it was offered for.
        const mended = [...changes]
          .sort((a, b) => b.span.start - a.span.start)
          .reduce((out, { span, text: put }) => out.slice(0, span.start) + put + out.slice(span.end), text)
        expect(said(mended).map((finding) => finding.code)).toEqual([])
      }
    })
  })
}

cases("unknown-name", {
  "a slip, with the name that was meant": 'fault low "sags" in suply odds 1',
  "a slip in a condition": "when glwo is yes rule out worn",
  "nothing near": 'setup seat "seat" behind bracket',
  "in `swaps`": 'test t "t" swaps suppply',
  "in `except`": 'fault bent "b" in supply odds 1\nwhen glow is yes rule out any in supply except bnet',
})
cases("doubled-name", {
  "in one kind": 'reading glow "again?" yes or no',
  "across kinds": 'setup supply "seat"',
  "a rule's name": "rule worn: when glow is yes rule out worn",
  "the ruleset's name": 'part r "r"',
})
cases("wrong-kind", {
  "a reading for a part": 'test t "t" swaps rail',
  "a part for a setup": 'setup seat "seat" behind supply',
  "a told question is not read": 'test t "t" reads moved',
  "a told question is not expected": 'proof "p" expects moved is yes',
  "the complaint in a rule": "when dark is yes rule out worn",
  "a place among faults": "when glow is yes rule out plug",
  "a part that eases a fault": 'fault low "low" in plug odds 1 eased by supply',
  "a setup that is removed": 'test t "t" removes plug',
})
cases("missing-declaration", { "no ruleset": 'complaint dark "d" part p "p" fault f "f" in p odds 1' }, "")
cases("missing-declaration", { "no complaint, no fault": 'ruleset r "R"' }, "")
cases("missing-declaration", { nothing: "# only a comment\n" }, "")
cases("missing-declaration", { "a file to be used": 'setup seat "seat"' }, "")
cases("doubled-declaration", {
  "a second complaint": 'complaint noise "noise"',
  "a second ruleset": 'ruleset other "O"',
})
cases("missing-clause", {
  "a test that does nothing": 'test t "t" takes 3 min',
  "a fault nowhere": 'fault low "low" odds 1',
  "a fault without odds": 'fault low "low" in supply',
})
cases("doubled-clause", {
  "two kinds": 'test t "t" swaps supply reads glow',
  "removes and redoes": 'test t "t" removes supply redoes plug',
  "eased twice by one setup":
    'setup lid "lid"\nfault low "low" in supply odds 1 eased by lid 20% eased by lid',
  "the complaint twice": 'fault low "low" in supply odds 1 shows dark 70% shows dark 20%',
})
cases("doubled-item", {
  "in a list": 'test t "t" reads glow, glow',
  "a part swapped twice": 'test t "t" swaps supply, supply',
})
cases("doubled-value", { "in `one of`": 'reading x "x" one of red, blue, red' })
cases("unknown-value", {
  "a slip": "when lamp is ambre rule out worn",
  "another reading's value": "when glow is red rule out worn",
  "in a list": "when lamp is one of red, blue rule out worn",
})
cases("unknown-unit", {
  "wrong case": "when rail below 5 mv rule out worn",
  "said once for a pair": "when rail between 5 and 7 mv rule out worn",
  "unheard of": 'reading x "x" in furlongs from 0 to 5',
})
cases("missing-unit", {
  "in a condition": "when rail below 5 rule out worn",
  "of a pair": "when rail between 5 and 7 rule out worn",
  "of a time": 'test t "t" reads glow takes 4',
  "of a time to wait": 'part panel "panel" fit waits 2',
})
cases("unit-mismatch", {
  "in a condition": "when rail below 5 A rule out worn",
  "of a time": 'test t "t" reads glow takes 4 V',
  "said once for a pair": "when rail between 5 and 7 A rule out worn",
  "of a step": 'reading x "x" in V from 0 to 5 by 1 mA',
})
cases("type-mismatch", {
  "a choice is not measured": "when glow below 5 V rule out worn",
  "a quantity has no values": "when rail is yes rule out worn",
  "the complaint has no condition": 'fault low "low" in supply odds 1 shows dark is yes 70%',
})
cases("out-of-range", {
  "above the reading's range": "when rail above 42 V rule out worn",
  "in another unit": "when rail between 1 and 31000 mV rule out worn",
  "a temperature in K": "when heat above 20 K rule out worn",
  "odds of nothing": 'fault low "low" in supply odds 0',
  "half a try": 'test t "t" redoes plug tries 1.5',
  "more tries than a runner takes": 'test t "t" redoes plug tries 10001',
  "a price beyond any": 'part x "x" price 1000000000001',
  "a time beyond any": 'test t "t" reads glow takes 20000000000 h',
  "a complaint that is never seen": 'fault low "low" in supply odds 1 shows dark 0%',
})
cases("reversed-range", {
  "in a condition": "when rail between 25.2 and 22.8 V rule out worn",
  "of a reading": 'reading x "x" in V from 5 to 5',
})
cases("uneven-step", {
  "no whole number of steps": 'reading x "x" in V from 0 to 10 by 3',
  "no step": 'reading x "x" in V from 0 to 10 by 0',
})
cases("too-fine", { "beyond ten million": 'reading x "x" in V from 0 to 30 by 1 uV' })
cases("beyond-hundred", {
  "one percentage": 'setup seat "seat" redo cures 120%',
  "a sum": 'fault low "low" in supply odds 1 shows rail below 5 V 60% shows rail above 20 V 50%',
  "a rule beyond doubt": "when glow is yes rule out worn 110%",
  "a second that is not alone": 'fault low "low" in supply odds 1 shows lamp is red shows lamp is amber 20%',
})
cases(
  "beyond-hundred",
  {
    "more than every machine": `ruleset r "R" second fault 60% unlisted 50%
complaint d "d" part p "p" fault f "f" in p odds 1`,
  },
  "",
)
cases("not-hundred", {
  "`shows` of every value": 'fault low "low" in supply odds 1 shows glow is yes 20% shows glow is no 30%',
  "`normally` of every value": 'reading x "x" in V from 0 to 5 normally at least 0 V 90%',
})
cases("overlap", {
  "two conditions":
    'fault low "low" in supply odds 1 shows rail below 20 V 50% shows rail between 15 and 22 V 30%',
})
cases("no-value", {
  "finer than the meter": 'fault low "low" in supply odds 1 shows rail between 15.001 and 15.004 V 90%',
  "beyond the ends": 'reading x "x" in V from 0 to 5 normally below 0 V 90%',
  "expected of no machine": 'proof "p" expects rail above 30 V',
})
cases("cycle", {
  behind: 'setup a "a" behind b\nsetup b "b" behind c\nsetup c "c" behind a',
  "behind itself": 'setup a "a" behind a',
  after: 'test t1 "1" reads glow after t2\ntest t2 "2" reads glow after t1',
  "after any of": `test t1 "1" reads glow after any of t2, t3
test t2 "2" reads glow after t1
test t3 "3" reads glow after t2, look`,
})
cases("no-faults", {
  "any in an empty place": "when glow is yes rule out any in plug",
  "all excepted, item by item": "when glow is yes rule out worn except worn, any in supply except worn",
  "all excepted": "when glow is yes leaves only any in supply except worn",
})
cases("idle-except", {
  "not in the list": 'fault bent "bent" in plug odds 1\nwhen glow is yes rule out any in supply except bent',
})
cases("eased-by-own", { "the setup that it is in": 'fault loose "loose" in plug odds 1 eased by plug 40%' })
cases("not-spare", {
  "no known-good one": 'part panel "display panel" price 210\ntest t "t" swaps panel',
  "one of two": 'part panel "display panel" price 210\ntest t "t" swaps supply, panel',
})
cases(
  "bad-money",
  { "no code": 'ruleset r "R" money EURO complaint d "d" part p "p" fault f "f" in p odds 1' },
  "",
)
cases(
  "bad-version",
  { "two numbers": 'ruleset r "R" version "1.2" complaint d "d" part p "p" fault f "f" in p odds 1' },
  "",
)

test("every code has its cases, here, with `use`, in `worked-out.test.ts`, `texts.test.ts` or `pictures.test.ts`", () => {
  expect(Object.keys(CODES).filter((code) => !met.has(code))).toEqual([
    "unknown-input",
    "unused-input",
    "bad-language",
    "missing-translation",
    "unknown-translation",
    "outdated-translation",
    "bad-path",
    "missing-file",
    "bad-picture",
    "large-picture",
    "cleaned-picture",
  ])
})

test("ten mistakes in one file are ten findings, in order, each at its own place", () => {
  const text = `${HEAD}part panel "panel" price 210 behind plgu
setup seat "seat" of supply redo cures 180%
fault low "sags" in suply odds 2
fault dim "dim" in panel odds 0
  shows glow is maybe
fault hot "hot" in panel odds 1
  shows heat above 85 V 90%
test meter "Meter" reads rail takes 4
test try_supply "Try" swaps supply after metre
when rail between 25.2 and 22.8 V rule out worn
never glow is yes and lamp below 3 V
`
  const diagnostics = said(text)
  expect(diagnostics.map(({ code, span }) => [code, text.slice(span.start, span.end)])).toEqual([
    ["unknown-name", "plgu"],
    ["beyond-hundred", "180%"],
    ["unknown-name", "suply"],
    ["out-of-range", "0"],
    ["unknown-value", "maybe"],
    ["unit-mismatch", "85 V"],
    ["missing-unit", "4"],
    ["unknown-name", "metre"],
    ["reversed-range", "25.2 and 22.8 V"],
    ["type-mismatch", "lamp below 3 V"],
  ])
})

test("a test that waits for any of several waits in vain only where each of them does", () => {
  expect(
    said(`${HEAD}test t1 "1" reads glow after any of t2, look
test t2 "2" reads glow after t1
test t3 "3" reads glow after any of t3, t2`),
  ).toEqual([])
})

describe("a broken declaration", () => {
  const follow = (text: string): string[] =>
    bind([parse("main.ruleout", HEAD + text).tree]).diagnostics.map(({ code }) => code)

  test("defines its name and causes no findings of its own, but others are still found", () => {
    expect(follow('reading x "x" in\nwhen x below 5 V rule out worn')).toEqual([])
    expect(follow('fault low "low" in\nwhen glow is yes rule out low')).toEqual([])
    expect(follow('part panel\ntest t "t" swaps panel')).toEqual([])
    expect(follow('fault low "low" in\nwhen glow is yes rule out lwo')).toEqual(["unknown-name"])
    expect(follow("when glow is\nrule out worn")).toEqual([])
  })

  test("a type that is wrong is said once, whatever asks for it", () => {
    expect(
      follow('reading x "x" in V from 5 to 0\nwhen x below 3 V rule out worn\nwhen x is yes rule out worn'),
    ).toEqual(["reversed-range"])
  })

  test("leaves no model", () => {
    expect(bind([parse("main.ruleout", `${HEAD}part panel`).tree]).model).toBeUndefined()
  })
})
