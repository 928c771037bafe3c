import { describe, expect, test } from "vitest"
import { diagnostic } from "../../../compiler/diagnostics/diagnostic.ts"
import { displayWidth } from "../../../compiler/diagnostics/display-width.ts"
import { Lines, lineAndColumn } from "../../../compiler/diagnostics/line-index.ts"
import { renderText } from "../../../compiler/diagnostics/render.ts"
import { closest, distance } from "../../../compiler/diagnostics/suggest.ts"
import { KEYWORDS } from "../../../compiler/syntax/language/keywords.ts"
import { DECLARATIONS } from "../../../compiler/syntax/language/statements.ts"
import { parse } from "../../../compiler/syntax/parser/parse.ts"

const FILE = "shop.ruleout"

describe("the language as data is the language that is read", () => {
  const forms = DECLARATIONS.flatMap(({ example, clauses, kind, keyword }) => [
    ...(clauses.length === 0 || kind !== "rule" ? [[keyword, example] as const] : []),
    ...clauses.map((clause) => {
      const verb = clause.words === "because" && kind === "rule" ? " rule out a" : ""
      const type =
        ["trust", "takes", "gives", "normally", "picture"].includes(clause.words) && /told|reading/.test(kind)
      const before = type
        ? example.replace(/( yes or no)?$/, " yes or no")
        : example.replace(/ yes or no$/, "")
      return [`${keyword}, ${clause.words}`, `${before}${verb} ${clause.example}`] as const
    }),
  ])

  test.each(forms)("%s: %s", (_, text) => {
    const { tree, diagnostics } = parse(FILE, text)
    expect(diagnostics).toEqual([])
    expect(tree.declarations).toHaveLength(1)
  })

  test.each(forms)("twice where it may stand twice: %s: %s", (title, text) => {
    const [keyword, words] = title.split(", ")
    const clause = DECLARATIONS.find((spec) => spec.keyword === keyword)?.clauses.find(
      (item) => item.words === words,
    )
    if (clause === undefined) return
    const codes = parse(FILE, `${text} ${clause.example}`).diagnostics.map((item) => item.code)
    if (clause.repeats) expect(codes).toEqual([])
    else expect(codes[0]).toMatch(/doubled-clause|unexpected/)
  })

  test.each(KEYWORDS)("%s is reserved, and can be a value", (word) => {
    expect(parse(FILE, `setup ${word} "x"`).diagnostics).not.toEqual([])
    const values = `reading a "x" one of a, ${word}, b, ${word}\nnever a is ${word} and a is one of ${word}, b or a is not b`
    // `is not` and `is one of` are read as such.
    if (word !== "not") expect(parse(FILE, values).diagnostics).toEqual([])
  })
})

test.each([
  ["a quantity keeps its spelling and unit", "odds", "2.50", 2.5, undefined],
  ["a sign", "odds", "-7", -7, undefined],
  ["a unit with its number in one word", "takes", "30s", 30, "s"],
  ["a unit of other letters", "takes", "5 µs", 5, "µs"],
  ["a unit over another", "takes", "5 Mbit/s", 5, "Mbit/s"],
  ["a degree", "takes", "5°C", 5, "°C"],
  ["a one-character degree", "takes", "5 ℃", 5, "℃"],
  ["an ohm of either code point", "takes", "5 k\u2126", 5, "k\u2126"],
])("%s", (_, clause, text, value, unit) => {
  const { tree, diagnostics } = parse(
    FILE,
    clause === "odds" ? `fault a "x" odds ${text}` : `test a "x" takes ${text}`,
  )
  const declaration = tree.declarations[0] as { odds?: object; takes?: object }
  expect(diagnostics).toEqual([])
  expect(declaration.odds ?? declaration.takes).toMatchObject({
    value,
    spelling: /^-?[\d.]+/.exec(text)![0],
    ...(unit === undefined ? {} : { unit: { text: unit } }),
  })
})

describe("closest names", () => {
  test.each([
    ["rear_covr", "rear_cover"],
    ["Rear-Cover", "rear_cover"],
    ["raer_cover", "rear_cover"],
    ["si", "is"],
    ["ot", undefined],
    ["panel", undefined],
    ["completely_else", undefined],
    ["a".repeat(5000), undefined],
  ])("%s: %s", (word, meant) => {
    expect(closest(word, ["panel_x_y", "rear_cover", "is", "of", "cover"])).toBe(meant)
  })

  test("the same first letter wins a tie", () => {
    expect(closest("bolt", ["volt", "boot"])).toBe("boot")
  })

  // The classic pairs: R. A. Wagner, M. J. Fischer, JACM 21(1), 1974, for the first three kinds; a swap counts one.
  test.each([
    ["", "abc", 3],
    ["kitten", "sitting", 3],
    ["ca", "ac", 1],
    // Restricted: no stretch is edited twice, so this is 3 and not 2.
    ["ca", "abc", 3],
    ["same", "same", 0],
  ])("from %s to %s: %i", (a, b, far) => {
    expect(distance(a, b)).toBe(far)
    expect(distance(b, a)).toBe(far)
    expect(distance(a, b, 1)).toBe(Math.min(far, 2))
  })
})

describe("lines", () => {
  const text = "ab\ncd\r\n\re\n"
  test.each([
    [0, 1, 1],
    [2, 1, 3],
    [3, 2, 1],
    [6, 2, 4],
    [7, 3, 1],
    [8, 4, 1],
    [10, 5, 1],
  ])("offset %i is line %i, column %i", (offset, line, column) => {
    expect(lineAndColumn(text, offset)).toEqual({ line, column })
    expect(new Lines(text).at(offset)).toEqual({ line, column })
  })

  test("bounds leave the line break out", () => {
    const lines = new Lines(text)
    const all = Array.from({ length: lines.count }, (_, i) => lines.bounds(i + 1)).map(({ start, end }) =>
      text.slice(start, end),
    )
    expect(all).toEqual(["ab", "cd", "", "e", ""])
  })
})

describe("rendering", () => {
  const at = (text: string, mark: string, from = 0) => {
    const start = text.indexOf(mark, from)
    return { file: FILE, start, end: start + mark.length }
  }
  const render = (text: string, ...marks: string[]) => {
    const [first, ...others] = marks
    const labels = others.map((mark) => ({ span: at(text, mark), text: `see ${mark}` }))
    return renderText(
      [diagnostic("warning", "some-code", at(text, first!), "`x` is so.", { labels })],
      new Map([[FILE, text]]),
    )
  }

  test("tabs and wide characters stand where the marks say", () => {
    expect(render("\tpart 漢字\te\u0301 x", "x", "漢字")).toMatchInlineSnapshot(`
      "warning: \`x\` is so. [some-code]
        shop.ruleout:1:13
        1 |     part 漢字   é x
          |          ---- see 漢字
          |                   ^
      "
    `)
  })

  test("a long line is cut around what is marked, and no character is cut in half", () => {
    const out = render(`${"😀".repeat(3000)}here${"é".repeat(3000)}`, "here")
    expect(out).not.toMatch(/\p{Surrogate}/u)
    const [, , source, carets] = out.split("\n")
    expect(displayWidth(source!)).toBeLessThan(120)
    expect(displayWidth(source!.slice(0, source!.indexOf("here")))).toBe(carets!.indexOf("^"))
  })

  test("labels stand on their lines, with a gap between, in another file too", () => {
    const text = 'part a "x"\n\n\npart b "y"\npart c "z"\n'
    const labels = [
      { span: at(text, "a"), text: "here for the first time" },
      { span: at(text, "c"), text: "and here" },
      { span: { file: "other.ruleout", start: 5, end: 6 }, text: "and in the other file" },
      { span: { file: "gone.ruleout", start: 0, end: 1 }, text: "and where nobody can look" },
    ]
    const sources = new Map([
      [FILE, text],
      ["other.ruleout", 'part b "w"'],
    ])
    const result = [
      diagnostic("error", "some-code", at(text, "b"), "`b` is so.", { labels, help: "Do this." }),
    ]
    expect(renderText(result, sources)).toMatchInlineSnapshot(`
      "error: \`b\` is so. [some-code]
        shop.ruleout:4:6
        1 | part a "x"
          |  - here for the first time
         …
        4 | part b "y"
          |      ^
        5 | part c "z"
          |      - and here
        other.ruleout:1:6
        1 | part b "w"
          |      - and in the other file
        gone.ruleout
        and where nobody can look
        help: Do this.
      "
    `)
    expect(renderText(result, sources, { color: true })).toContain("\x1b[1;31m^\x1b[0m")
  })

  test("nothing that a terminal obeys comes through, wherever it stands", () => {
    const text = "part \x1b[31m\x07 \u202e \ud800 x\r"
    const wild = diagnostic("error", "some-code", { file: "a\x1b.ruleout", start: 0, end: 2 }, "\x1b[2J", {
      help: "\x07",
      labels: [{ span: { file: FILE, start: 5, end: 6 }, text: "\x9b" }],
      edits: [{ title: "\x08", safe: false, changes: [] }],
    })
    const out = renderText([wild], new Map([[FILE, text]]))
    expect(out).not.toMatch(/(?!\n)\p{Cc}|[\u202e]|\p{Surrogate}/u)
    expect(out).toContain("part <U+001B>[31m<U+0007> <U+202E> <U+D800> x")
  })

  test("a place behind the end of the text", () => {
    const out = renderText(
      [diagnostic("note", "some-code", { file: FILE, start: 3, end: 3 }, "End.")],
      new Map([[FILE, "ab\n"]]),
    )
    expect(out).toContain(`${FILE}:2:1`)
  })
})
