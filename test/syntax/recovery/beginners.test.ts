import { expect, test } from "vitest"
import { parse } from "../../../compiler/syntax/parser/parse.ts"

/** A whole ruleset in small, so that what an edit leaves can be held against what was meant. */
const MEANT = `ruleset espresso_cold "No hot water" version "0.1.0" bench 55 per hour trust 90%
part pump "vibration pump" price 1250.50 spare behind back_panel
setup tabs "push-on tabs" of pump redo cures 90%
fault stuck "pump stuck" in pump odds 3 shows drive between 5 and 10 V 60% shows flow is no
told moved "Was it moved?" yes or no trust 70%
reading drive "Relay input" in V from 0 to 24 normally between 8 and 12 V 90%
reading scale "Scale?" one of none, thin, thick
reading lamp "Lamp?" one of yes, no, dim
test look "Look" reads scale, flow takes 4 min power off needs "mirror" caution "Hot: gloves on."
when drive at least 10 V rule out stuck because "it has drive"
never drive below -5 V
never scale is one of none, thin and drive above 3 V
proof "Run it" times 3 takes 5 min for pump, tabs
`

/** What a first text has in place of what is meant; the edits of its findings, one after the other, lead back. */
const SLIPS: readonly (readonly [meant: string, typed: string])[] = [
  ["espresso_cold", "espresso cold"],
  ['"0.1.0"', "0.1.0"],
  ["55 per hour", "55 / hour"],
  ["55 per hour", "55/h"],
  ["trust 90%", "trust 0.9"],
  ["trust 90%", "trust 90"],
  ["cures 90%", "cures 90percent"],
  ['"vibration pump"', "„vibration pump“"],
  ['"vibration pump"', "‘vibration pump’"],
  ['"vibration pump"', "'vibration pump'"],
  ['"vibration pump"', "«vibration pump»"],
  ["price 1250.50", "1250.50"],
  ["price 1250.50", "price 1.250,50"],
  ["price 1250.50", "price 1,250.50"],
  ["behind back_panel", "behind back panel"],
  ["spare behind", "spare, behind"],
  ["of pump", "pump"],
  ["in pump", "pump"],
  ["odds 3", "3"],
  ["between 5 and 10", "5–10"],
  ["between 5 and 10", "5-10"],
  ["between 5 and 10", "5 – 10"],
  ["between 5 and 10", "5 to 10"],
  ["between 5 and 10", "between 5 to 10"],
  ["between 5 and 10", "between 5–10"],
  ["between 5 and 10", "from 5 to 10"],
  ["between 8 and 12", "8-12"],
  ["flow is no", "flow = no"],
  ["told moved", "question moved"],
  ["odds 3", "odds: 3"],
  ["odds 3", "odds=3"],
  ["flow is no", "flow no"],
  ["redo cures", "redoes"],
  ["pump odds", "pump, odds"],
  ["10 V rule", "10 V then rule"],
  ["10 V rule", "10 V -> rule"],
  ["10 V rule", "10 V => rule"],
  ["yes or no", "yes/no"],
  ["yes or no", "yes, no"],
  ["one of none", "none"],
  ["one of yes, no, dim", "yes, no, dim"],
  ["in V from", "V from"],
  ["from 0 to", "0 to"],
  ["from 0 to 24", "from 0 – 24"],
  ["reads scale, flow", "reads scale and flow"],
  ["reads scale", 'reads "scale"'],
  ["takes 4 min", "4 min"],
  ["takes 4 min power", "takes 4 min, power"],
  ['needs "mirror"', "needs mirror"],
  ['caution "Hot', 'warning "Hot'],
  ['"Hot: gloves on."', "Hot: gloves on."],
  ['"it has drive"', 'it has drive"'],
  ["when drive", "if drive"],
  ["drive at least", "drive is at least"],
  ["drive at least", "drive >="],
  ["10 V rule", "10 V, rule"],
  ["10 V rule", "10 V: rule"],
  ["drive below", "drive less than"],
  ["drive below", "drive is less than"],
  ["drive below", "drive under"],
  ["drive below", "drive <"],
  ["below -5", "below −5"],
  ["is one of none, thin and drive above", "is one of none, thin and drive more than"],
  ["times 3", "3 times"],
  ["pump, tabs", "pump and tabs"],
]

test("what is meant is clean", () => {
  expect(parse("shop.ruleout", MEANT).diagnostics).toEqual([])
})

test.each(SLIPS)("%s, typed as %s, is mended by the edits", (meant, typed) => {
  let text = MEANT.replace(meant, () => typed)
  expect(text).not.toBe(MEANT)
  for (let round = 0; round < 3; round++) {
    const [finding] = parse("shop.ruleout", text).diagnostics
    if (finding === undefined) break
    const { changes } = finding.edits.at(-1)!
    for (const { span, text: put } of changes.toSorted((a, b) => b.span.start - a.span.start))
      text = text.slice(0, span.start) + put + text.slice(span.end)
  }
  expect(text.replace("90 %", "90%")).toBe(MEANT)
})

test("what the grammar has of its own is no slip: values that are words of it, signs, an apostrophe", () => {
  const text = `fault low "it doesn't turn" in pump odds 1 shows level is below 90% shows level is not at
reading level "It's" one of at, below, above, time
test only_one "x" reads level takes 1 min only
  if level is time
reading heat "Heat" in degC from -10 to 5 normally between -5 and -2 degC 90%
`
  expect(parse("shop.ruleout", text).diagnostics).toEqual([])
})

test("each slip is said once", () => {
  const { diagnostics } = parse("shop.ruleout", 'fault a "x" in p odds 1 shows drive < 3 V shows drive 5–6 V')
  expect(diagnostics.map(({ code }) => code)).toEqual(["symbol", "symbol"])
})

test("what a word processor puts in everywhere is reported once, with an edit that corrects all", () => {
  const line = (i: number) => `part p_${i} “part ${i}”\u00a0price 3\n`
  const text = Array.from({ length: 150 }, (_, i) => line(i)).join("")
  const { tree, diagnostics } = parse("shop.ruleout", text)
  expect(diagnostics.map(({ code, message }) => [code, message.split(", ")[1]])).toEqual([
    ["curly-quotes", "and so have 149 more."],
    ["odd-space", "and so are 149 more."],
  ])
  expect(tree.declarations).toHaveLength(150)
  const changes = diagnostics.flatMap(({ edits }) => edits.flatMap((edit) => (edit.safe ? edit.changes : [])))
  const mended = changes
    .toSorted((a, b) => b.span.start - a.span.start)
    .reduce((now, { span, text: put }) => now.slice(0, span.start) + put + now.slice(span.end), text)
  expect(mended).toBe(text.replace(/[“”]/g, '"').replaceAll("\u00a0", " "))
})
