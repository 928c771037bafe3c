import fc from "fast-check"
import { expect, test } from "vitest"
import { bind } from "../../../compiler/model/bind.ts"
import { print } from "../../../compiler/syntax/format/format.ts"
import { tokenize } from "../../../compiler/syntax/lexer/lexer.ts"
import { isWhole, parse } from "../../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "../../support/kiosk.ts"
import { boundProgram } from "../../support/programs.ts"
import { anyTree, withoutSpans } from "../../support/trees.ts"

const FILE = "random.ruleout"

test("a tree printed and parsed again is the same tree, and its print a fixed point", () => {
  fc.assert(
    fc.property(anyTree, (tree) => {
      const printed = print(tree)
      const { tree: again, diagnostics } = parse(FILE, printed)
      expect(diagnostics).toEqual([])
      expect(withoutSpans(again)).toEqual(withoutSpans(tree))
      expect(print(again)).toBe(printed)
    }),
    { numRuns: 300 },
  )
})

test("rulesets that mean something are whole, keep their tree in print, and are accepted by the model", () => {
  fc.assert(
    fc.property(boundProgram(), (program) => {
      const { tree, diagnostics } = parse(FILE, program)
      expect(diagnostics).toEqual([])
      expect(isWhole(tree)).toBe(true)
      const printed = print(tree)
      expect(withoutComments(parse(FILE, printed).tree)).toEqual(withoutComments(tree))
      const bound = bind([tree])
      expect(bound.diagnostics.filter((finding) => finding.severity === "error")).toEqual([])
      expect(bound.model).toBeDefined()
    }),
    { numRuns: 150 },
  )
})

const comment = fc.string({ unit: fc.constantFrom(...'ab #"\\,'), maxLength: 5 }).map((text) => `#${text}`)
const gap = fc.constantFrom("\n", "\n\n", "\n  ", "\n\n\n    ", "\r\n", " ")

test("a comment between any two tokens survives, each once and in order", () => {
  const { tokens } = tokenize(FILE, KIOSK_DARK)
  const insertions = fc.array(
    fc.record({ at: fc.nat({ max: tokens.length }), comment, before: gap, after: gap }),
    {
      minLength: 1,
      maxLength: 12,
    },
  )
  fc.assert(
    fc.property(insertions, (list) => {
      const sorted = [...list].sort((a, b) => a.at - b.at)
      let text = ""
      let done = 0
      for (const { at, comment, before, after } of sorted) {
        const offset = tokens[at]?.start ?? KIOSK_DARK.length
        text += `${KIOSK_DARK.slice(done, offset)}${before}${comment}\n${after}`
        done = offset
      }
      text += KIOSK_DARK.slice(done)
      const { tree, diagnostics } = parse(FILE, text)
      expect(diagnostics).toEqual([])
      const printed = print(tree)
      expect(commentsOf(printed)).toEqual(commentsOf(text))
      expect(withoutComments(parse(FILE, printed).tree)).toEqual(
        withoutComments(parse(FILE, KIOSK_DARK).tree),
      )
      expect(print(parse(FILE, printed).tree)).toBe(printed)
    }),
    { numRuns: 150 },
  )
})

function commentsOf(text: string): string[] {
  return tokenize(FILE, text).comments.map((comment) => comment.text)
}

function withoutComments(tree: Parameters<typeof withoutSpans>[0]): unknown {
  const bare = tree.declarations.map((declaration) => {
    const { leading: _, inner: __, detached: ___, blankBefore: ____, ...rest } = declaration
    return rest
  })
  return withoutSpans({ ...tree, declarations: bare as never, trailing: [] })
}

test("the kiosk in the formatter's layout", () => {
  expect(print(parse(FILE, KIOSK_DARK).tree)).toMatchInlineSnapshot(`
    "ruleset kiosk_dark "Ticket kiosk: powered, screen dark"
      version "1.2.0"
      money EUR
      bench 48 per hour
      comeback costs 90
      handover costs 150
      trust 90%

    part supply "24 V supply"         price 70   spare
    part panel  "display panel"       price 210  spare
    part driver "panel driver board"  price 95   spare  behind rear_cover
    setup ribbon     "panel ribbon seating"       of panel  redo cures 85%
    setup rear_cover "rear cover and its switch"            redo cures 40%

    complaint dark "the screen stays dark for a minute after power-up"

    fault supply_low   "supply sags under load"  in supply      odds 6
      shows rail between 15 and 22.7 V 90%
    fault panel_dead   "panel failed"            in panel       odds 3
    fault driver_dead  "driver board failed"     in driver      odds 4
      shows glow is no
    fault ribbon_loose "ribbon not home"         in ribbon      odds 9
      shows dark 70%  # comes and goes
    fault switch_open  "cover switch held open"  in rear_cover  odds 2

    told moved "Was the kiosk moved just before?"  yes or no  trust 80%
    reading glow "Any glow from the backlight in a dark room?"  yes or no
      normally is yes 98%
    reading rail "Rail at the driver plug, machine on"          in V from 0 to 30 by 0.01
      normally between 22.8 and 25.2 V 97%

    test look_glow     "Shade the screen and look for a glow"  reads glow  takes 1 min
    test meter_rail    "Meter the rail at the driver plug"
      reads rail  takes 4 min  power on  needs "multimeter"
      caution "Live plug: one hand, insulated probes."
    test reseat_ribbon "Reseat both ends of the ribbon"  redoes ribbon  takes 6 min  power off  tries 3
    test try_panel     "Fit the known-good panel"  swaps panel  takes 18 min  power off
    test try_driver    "Fit the known-good driver board"  swaps driver  takes 12 min  power off
      after meter_rail

    when rail between 22.8 and 25.2 V  rule out supply_low
      because "a rail inside ±5 % under load clears the supply"
    when glow is yes and moved is no  rule out driver_dead
    never glow is yes and rail below 9 V

    proof "Power it up cold"               times 5  takes 2 min
    proof "Tilt it 15° each way while on"           takes 3 min  for panel, ribbon
    "
  `)
})

test("what is long goes on below, what is commented stays beside its comment", () => {
  const source = `#  heading


part a "x"   price 3 # cheap
part long_name "y" # no price
  # and none to come
# leads b
part b "a label that is long enough to need a line of its own, and then some more words" price 1000000 spare behind front, back

when (((rail below 3 V) and (glow is yes or (moved is no))) # first
  and not (not (a is one of no, when))) # second
 and rail between 3 and 4 V and seat_of_the_panel is not right and rail outside 2 and 4 V
 rule out any in supply except fault_number_one, fault_number_two, fault_number_three, fault_number_four, e
   because "so" # end


# the end
`
  const { tree, diagnostics } = parse(FILE, source)
  expect(diagnostics).toEqual([])
  expect(print(tree)).toMatchInlineSnapshot(`
    "#  heading

    part a         "x"  price 3  # cheap
    part long_name "y"  # no price
      # and none to come
    # leads b
    part b "a label that is long enough to need a line of its own, and then some more words"
      price 1000000  spare  behind front, back

    when rail below 3 V and (glow is yes or moved is no)  # first
        and not not a is one of no, when  # second
        and rail between 3 and 4 V and seat_of_the_panel is not right and rail outside 2 and 4 V
      rule out any in supply except fault_number_one, fault_number_two, fault_number_three,
        fault_number_four, e
      because "so"  # end

    # the end
    "
  `)
})

test.each([
  ["a or b and c", "a is x or b is x and c is x"],
  ["(a or b) and c", "(a is x or b is x) and c is x"],
  ["(a and b) or c", "a is x and b is x or c is x"],
  ["not (a)", "not a is x"],
  ["not (a and b)", "not (a is x and b is x)"],
  ["(not a) and (not not b)", "not a is x and not not b is x"],
  ["a and (b and (c or (d or e)))", "a is x and b is x and (c is x or d is x or e is x)"],
])("%s has no parentheses but those that it needs", (short, printed) => {
  const source = `never ${short.replace(/\b[a-e]\b/g, "$& is x")}`
  expect(print(parse(FILE, source).tree)).toBe(`never ${printed}\n`)
})

test("the formatter's own spellings: line ends, backslashes, byte order mark", () => {
  const source = '\ufeffpart a "say \\"no\\" to C:\\\\"\r\n\r\n\r\n# é\r\npart b "漢"\r\n'
  const { tree, diagnostics } = parse(FILE, source)
  expect(diagnostics.map((finding) => finding.code)).toEqual(["byte-order-mark"])
  expect(isWhole(tree)).toBe(true)
  expect(print(tree)).toBe('part a "say \\"no\\" to C:\\\\"\n\n# é\npart b "漢"\n')
})

test.each([
  "part supply",
  'part a "x" colour',
  "@",
  "stray words",
  'Part a "x"',
  'part A "x"',
  "“",
  'part a "\\n"',
])("of %s nothing is printed in its place, since something would be lost", (source) => {
  expect(isWhole(parse(FILE, source).tree)).toBe(false)
})
