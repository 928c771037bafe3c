import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { renderText } from "../../../compiler/diagnostics/render.ts"
import { print } from "../../../compiler/syntax/format/format.ts"
import { MOST_PROBLEMS } from "../../../compiler/syntax/lexer/character-problems.ts"
import { tokenize } from "../../../compiler/syntax/lexer/lexer.ts"
import { MOST_NESTED } from "../../../compiler/syntax/parser/conditions.ts"
import { isWhole, LONGEST_FILE, parse } from "../../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "../../support/kiosk.ts"

const FILE = "shop.ruleout"

/** What must hold of every text: places within it, in order, an error wherever something is lost, all of it printable. */
function soundly(text: string): void {
  const { tree, diagnostics } = parse(FILE, text)
  const spans = diagnostics.map((finding) => finding.span)
  const others = diagnostics.flatMap(({ labels, edits }) => [
    ...labels.map((label) => label.span),
    ...edits.flatMap((edit) => edit.changes.map((change) => change.span)),
  ])
  const outside = [...spans, ...others].filter(
    ({ start, end }) => !(0 <= start && start <= end && end <= text.length),
  )
  const unordered = spans.filter(({ start }, i) => i > 0 && start < spans[i - 1]!.start)
  const words = diagnostics
    .map((finding) => finding.message)
    .filter((message) => /undefined|null|\[object|Exception/.test(message))
  const silent = !isWhole(tree) && !diagnostics.some((finding) => finding.severity === "error")
  print(tree)
  // Line breaks apart, nothing that a terminal obeys comes through.
  const raw = /(?!\n)\p{Cc}|\p{Surrogate}/u.exec(renderText(diagnostics, new Map([[FILE, text]])))
  expect({ outside, unordered, words, silent, raw }).toEqual({
    outside: [],
    unordered: [],
    words: [],
    silent: false,
    raw: null,
  })
}

describe("whatever the text, there is a tree and findings", () => {
  const vocabulary = tokenize(FILE, KIOSK_DARK).tokens.map((token) =>
    KIOSK_DARK.slice(token.start, token.end),
  )

  test("for any characters", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 80 }), (text) => soundly(text)),
      { numRuns: 200 },
    )
    const unit = fc.constantFrom(
      "\0",
      "\ud800",
      "\udfff",
      '"',
      "\\",
      "\r",
      "\n",
      " ",
      "#",
      "“",
      "”",
      "-",
      ".",
      "1",
      "a",
      "°",
      "\ufeff",
      "\u202e",
      "\u00a0",
      "%",
      "=",
      ":",
    )
    fc.assert(
      fc.property(fc.string({ unit, maxLength: 30 }), (text) => soundly(text)),
      { numRuns: 500 },
    )
  })

  test("for the language's words in any order", () => {
    const word = fc.oneof(
      fc.constantFrom(...vocabulary),
      fc.constantFrom("(", ")", ":", ",", "rule", "use", "\n", "not", "@"),
    )
    fc.assert(
      fc.property(fc.array(word, { maxLength: 40 }), (words) => soundly(words.join(" "))),
      { numRuns: 500 },
    )
  })

  test("for a ruleset with stretches cut out, doubled, or put elsewhere", () => {
    const place = fc.nat({ max: KIOSK_DARK.length })
    const change = fc.record({ from: place, length: fc.nat({ max: 60 }), to: place, cut: fc.boolean() })
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        let text = KIOSK_DARK
        for (const { from, length, to, cut } of changes) {
          const piece = text.slice(from, from + length)
          if (cut) text = text.slice(0, from) + text.slice(from + length)
          text = text.slice(0, to) + piece + text.slice(to)
        }
        soundly(text)
      }),
      { numRuns: 200 },
    )
  })
})

test("one token taken out anywhere leaves all other declarations as they were", () => {
  const { tokens } = tokenize(FILE, KIOSK_DARK)
  const intact = parse(FILE, KIOSK_DARK).tree.declarations
  for (const [i, token] of tokens.entries()) {
    const without =
      KIOSK_DARK.slice(0, token.start) + " ".repeat(token.end - token.start) + KIOSK_DARK.slice(token.end)
    const left = parse(FILE, without).tree.declarations
    const hit = intact.findIndex(({ span }) => token.start >= span.start && token.start < span.end)
    const title = `${i}: ${KIOSK_DARK.slice(token.start, token.end)}`
    // Without its keyword a declaration is part of the one before; so two may differ, never three.
    const same = intact.filter(({ span }) =>
      left.some((other) => other.span.start === span.start && other.span.end === span.end),
    )
    expect(same.length, title).toBeGreaterThanOrEqual(intact.length - 2)
    const apart = left.filter(
      ({ span }) => span.start > intact[hit]!.span.end || span.end < (intact[hit - 1]?.span.start ?? 0),
    )
    expect(
      apart.every((declaration) => declaration.whole),
      title,
    ).toBe(true)
  }
})

test("ten mistakes are ten findings, in order, each at its own place", () => {
  const text = `ruleset kiosk_dark "Ticket kiosk"
  version 1.2
part supply "24 V supply" price seventy spare
part Panel "display panel" prise 210
setup ribbon panel ribbon of panel redo cures 85%
complaints dark "the screen stays dark"
fault supply_low "supply sags" in supply odds 6 odds 7
  shows rail betwen 15 and 22.7 V 90%
test meter_rail "Meter the rail" reads rail takes 4 min power of
when (glow is yes and rail below 3 V rule out supply_low
`
  const diagnostics = parse(FILE, text).diagnostics
  expect(diagnostics.map(({ code, span }) => `${code} ${text.slice(span.start, span.end)}`)).toEqual([
    "incomplete 1.2",
    "unexpected seventy",
    "bad-name Panel",
    "misspelt prise",
    "incomplete panel ribbon",
    "misspelt complaints",
    "doubled-clause odds",
    "misspelt betwen",
    "incomplete power",
    "unpaired-parenthesis (",
  ])
})

test("a word that begins declarations may be a value, and ends no declaration there", () => {
  const text = `reading what "What is it?" one of part, setup, test, proof, never, when, rule
  normally is not part 90%
when what is part and what is one of use, test or what is not told rule out a
rule named: when what is rule leaves only any in part_a
part part_a "x"
`
  const { tree, diagnostics } = parse(FILE, text)
  expect(diagnostics).toEqual([])
  expect(tree.declarations.map((declaration) => declaration.kind)).toEqual([
    "reading",
    "rule",
    "rule",
    "part",
  ])
})

describe("what would take too long or too deep ends at once with an error", () => {
  test.each([
    ["parentheses", "(", ")"],
    ["not", "not ", ""],
    ["not and parentheses", "not (", ")"],
  ])("%s 10,000 deep", (_, open, close) => {
    const text = `never ${open.repeat(10_000)}a is yes${close.repeat(10_000)}\npart a "x" price q\n`
    const { diagnostics } = parse(FILE, text)
    expect(diagnostics.map((finding) => finding.code)).toEqual(["too-deep", "unexpected"])
  })

  test("as deep as is allowed", () => {
    const pairs = `never ${"(".repeat(MOST_NESTED)}a is yes${")".repeat(MOST_NESTED)}\n`
    expect(parse(FILE, pairs).diagnostics).toEqual([])
    expect(print(parse(FILE, pairs).tree)).toBe("never a is yes\n")
    const text = `never ${"not ".repeat(MOST_NESTED)}a is yes\n`
    const { tree, diagnostics } = parse(FILE, text)
    expect(diagnostics).toEqual([])
    expect(print(tree)).toContain("not not a is yes")
    expect(
      parse(FILE, text.replace("never", "never not")).diagnostics.map((finding) => finding.code),
    ).toEqual(["too-deep"])
  })

  test.each([
    ["10 MB", "@".repeat(10_000_000), ["too-long"]],
    ["one run of characters", "\u0001@~\0".repeat(LONGEST_FILE / 4), ["stray-character"]],
    ["one word", "a".repeat(LONGEST_FILE), ["outside-declaration", "too-long"]],
    ["one long number", "1".repeat(LONGEST_FILE), ["outside-declaration", "too-long"]],
    ["quotes", '"'.repeat(LONGEST_FILE / 4), ["outside-declaration"]],
    ["backslashes in an open text", `"${"\\".repeat(LONGEST_FILE - 1)}`, ["open-text"]],
    ["hyphens", "a-".repeat(LONGEST_FILE / 8), ["stray-character", "outside-declaration", "too-long"]],
    ["commas behind one of", `part a "x" one of ${"a,".repeat(LONGEST_FILE / 8)}`, ["unexpected"]],
  ])("%s", (_, text, codes) => {
    const { diagnostics } = parse(FILE, text)
    expect([...new Set(diagnostics.map((finding) => finding.code))].sort()).toEqual([...codes].sort())
    expect(renderText(diagnostics, new Map([[FILE, text]]))).toContain(codes[0])
  })

  test("mistake upon mistake: the first ones, and a last finding that says so", () => {
    const text = 'part A "x" prise 3\n'.repeat(40_000)
    const { diagnostics } = parse(FILE, text)
    expect(diagnostics).toHaveLength(MOST_PROBLEMS + 1)
    expect(diagnostics.at(-1)?.code).toBe("too-many-findings")
    expect(parse(FILE, "§\n".repeat(200_000)).diagnostics).toHaveLength(MOST_PROBLEMS + 1)
  })
})
