import { expect, test } from "vitest"
import { renderText } from "../../../compiler/diagnostics/render.ts"
import { SYNTAX_CODES, type SyntaxCode } from "../../../compiler/syntax/codes.ts"
import { LONGEST_FILE, parse } from "../../../compiler/syntax/parser/parse.ts"

/** Source and rendered message side by side, so that a review reads what the user reads. */
const cases: Record<string, readonly string[]> = {
  characters: [
    'part a "24 V supply price 70\npart b "x" price 5',
    'part a "x" @@ ~~ price 70 ; spare',
    'part a "x\0y" # \ud800',
    "part a “24 V supply” price 70",
    'part a "C:\\tools"',
    '\ufeffpart a "x"\u00a0price 3',
  ],
  declarations: [
    'price 70\npart a "x"',
    'complaints dark "stays dark"',
    'device psu "24 V supply" price 70\npart b "x" colour red',
    "part",
    "part supply price 70",
    "part supply 24 V supply price 70",
    'part "supply" "24 V supply"',
    'Part rear-cover "x" Price 3',
    'part Zündung "x"\npart 3v3_rail "y"\npart питание "z"',
    'part test "x" behind part spare',
    "use shared\nproof times 5\nuse",
    'complaint dark "x" price 3',
  ],
  clauses: [
    'part a "x" price spare price 70 price 80',
    'part a "x" price 1,5 odds 3\npart b "x" price 70 EUR\npart c "x" price .5 behind a b',
    'ruleset a "x" version 1.2 bench 48 per our trust 90 comeback 90',
    'setup a "x" of redo cure 85%',
    'fault a "x" in supply odds often shows rail 90 shows rail fix fix costs 1 fix costs 2',
    'told a "x" trust 80%\nreading b "x" in from 0 to 5\nreading c "x" one of normally is yes',
    'test a "x" reads glow takes 4 powr on risks panel needs multimeter only glow is yes',
    'proof "x" times five expects rail above for panel,',
  ],
  conditions: [
    "when glow = yes and rail >= 3 V rule out a",
    "when rail is 3 V rule out a",
    "when (glow is yes and (rail below 3 V rule out a",
    "when glow is yes) rule out a",
    "never glow is yes or no",
    "never glow si yes adn rail betwen 3 and 4 V",
    "never rail at lest 3 V and rail between 3 V\nnever rail",
    'fault a "x" shows rail rail below 3 V and below',
  ],
  beginners: [
    'ruleset espresso cold "No hot water" version 0.1.0 bench 55 / hour trust 0,9',
    "part pump 'vibration pump' 32 spare, behind back panel",
    'part "vibration pump" price 1.250,00\nsetup tabs «push-on tabs» pump redo cures 90 percent',
    'fault stuck "pump stuck" pump 3 shows drive 5–10 V 60% shows flow under 2 g',
    'fault worn "pump "worn" out" in pump odds 3 shows bar from 2 to 5 bar shows drive is less than 3 V 80%',
    'question moved "Was it moved?" yes/no\ntold wet "Did it get wet?" yes, no',
    'reading drive "Relay input" V from 0 – 24\nreading heat "Boiler" in degC 0 to 150 normally 80-120 degC 90%',
    'test look "Look" reads "scale" and flow 4 min, needs mirror caution Hot: gloves on.',
    '// mine\nif drive is at least 10 V then rule out a and b because it has drive"',
    "never drive below −5 V and heat between 20 to 30 degC",
  ],
  rules: [
    "when glow is yes",
    "when rule out a",
    'when glow is yes ruel out a becuse "x"',
    "when glow is yes rule a",
    "when glow is yes leaves any in panel",
    "when glow is yes rule out any panel except",
    "rule fine when glow is yes rule out a\nrule: when glow is yes rule out a",
    'when glow is yes rule out a because "x" because "y"',
    "when glow is yes rule out a price 3",
  ],
}

test.each(Object.entries(cases))("what is said of %s", async (name, sources) => {
  const pages = sources.map((text) => {
    const rendered = renderText(parse("shop.ruleout", text).diagnostics, new Map([["shop.ruleout", text]]))
    return `${text.replace(/(?!\n)[\p{Cc}\p{Surrogate}\ufeff]/gu, "·")}\n\n${rendered}`
  })
  await expect(pages.join(`\n${"─".repeat(80)}\n\n`)).toMatchFileSnapshot(
    `__snapshots__/messages-${name}.txt`,
  )
})

test("every code of the reader is one of the list, with its severity, and each is met", () => {
  const texts = [
    ...Object.values(cases).flat(),
    `when ${"(".repeat(300)}`,
    'part a "x" pric 3\n'.repeat(200),
    " ".repeat(LONGEST_FILE + 1),
  ]
  const met = new Set<string>()
  for (const text of texts)
    for (const { code, severity } of parse("shop.ruleout", text).diagnostics) {
      met.add(code)
      expect(SYNTAX_CODES[code as SyntaxCode]?.[0], code).toBe(severity)
    }
  expect([...met].sort()).toEqual(Object.keys(SYNTAX_CODES).sort())
})
