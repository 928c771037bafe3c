import { afterAll, beforeAll, describe, expect, test, vi } from "vitest"
import { allRead } from "../../../compiler/model/all-read.ts"
import { type Clauses, clauseSpecs } from "../../../compiler/syntax/language/clause-specs.ts"
import { excludes } from "../../../compiler/syntax/language/clause-starts.ts"
import type { DeclarationSpec } from "../../../compiler/syntax/language/declaration-specs.ts"
import { leastForm } from "../../../compiler/syntax/language/forms.ts"
import { DECLARATIONS } from "../../../compiler/syntax/language/statements.ts"
import { SYNONYMS } from "../../../compiler/syntax/language/synonyms.ts"
import type { ComplaintDecl, Declaration } from "../../../compiler/syntax/syntax-tree.ts"

/** The tree of a complaint with one more field. */
type Louder = ComplaintDecl & { readonly loud?: ComplaintDecl["takes"] }

describe("types refuse a language that is not said in one piece", () => {
  const { takes, tries } = {
    takes: { words: "takes", argument: "minutes", example: "takes 1 min", says: "" },
    tries: { words: "tries", argument: "number", example: "tries 3", says: "" },
  } as const

  test("a field of the tree without its clause", () => {
    const right: Clauses<ComplaintDecl> = { takes, tries }
    // @ts-expect-error No clause fills `loud`.
    const lacking: Clauses<Louder & Declaration> = { takes, tries }
    expect([right, lacking].map((each) => clauseSpecs(each as Clauses<ComplaintDecl>).length)).toEqual([2, 2])
  })

  test("a clause without its field, or with an argument that the field cannot hold", () => {
    // @ts-expect-error The tree has no field `loud`.
    const extra: Clauses<ComplaintDecl> = { takes, tries, loud: takes }
    // @ts-expect-error A quantity is no text.
    const wrong: Clauses<ComplaintDecl> = { takes, tries: { ...tries, argument: "text" } }
    expect([extra, wrong].map((each) => Object.keys(each).length)).toEqual([3, 2])
  })
})

test("every synonym is for a word of the language, and is none itself where that word stands", () => {
  const words = new Set(
    DECLARATIONS.flatMap(({ keyword, clauses }) => [
      keyword,
      ...clauses.flatMap((each) => each.words.split(" ")),
    ]),
  )
  const comparing = ["is", "below", "above"]
  expect(Object.keys(SYNONYMS).filter((word) => !words.has(word) && !comparing.includes(word))).toEqual([])
})

describe("a clause that is added to the data", () => {
  /** `hums N dB`-like clauses that the language does not have, one of each kind of argument. */
  const MADE_UP = [
    { words: "weighs", argument: "number", example: "weighs 12", says: "how heavy it is" },
    {
      words: "rests on",
      argument: "names",
      names: ["setup"],
      example: "rests on rear_cover, frame",
      says: "what carries it",
    },
    { words: "marked", argument: "text", example: 'marked "blue dot"', says: "how to know it", place: "own" },
  ] as const
  const SOURCE = 'part box "box"  weighs 12  rests on rear_cover, frame\n  marked "blue dot"\n'

  let language: {
    parse: typeof import("../../../compiler/syntax/parser/parse.ts").parse
    print: typeof import("../../../compiler/syntax/format/format.ts").print
    namesUsed: typeof import("../../../compiler/syntax/language/names-in.ts").namesUsed
    expectedAfter: typeof import("../../../compiler/service/complete.ts").expectedAfter
    tokenize: typeof import("../../../compiler/syntax/lexer/lexer.ts").tokenize
    highlight: typeof import("../../../compiler/service/highlight.ts").highlight
    hoverWord: typeof import("../../../compiler/service/hover.ts").hoverWord
    formsOf: typeof import("../../../compiler/syntax/language/forms.ts").formsOf
    KEYWORDS: readonly string[]
  }

  beforeAll(async () => {
    vi.resetModules()
    vi.doMock("../../../compiler/syntax/language/statements.ts", () => {
      const fields = { weighs: MADE_UP[0], restsOn: MADE_UP[1], marked: MADE_UP[2] }
      const added = clauseSpecs(fields as never)
      const extended = DECLARATIONS.map(
        (spec): DeclarationSpec =>
          spec.keyword === "part" ? { ...spec, clauses: [...spec.clauses, ...added] } : spec,
      )
      return { DECLARATIONS: extended }
    })
    language = {
      ...(await import("../../../compiler/syntax/parser/parse.ts")),
      ...(await import("../../../compiler/syntax/format/format.ts")),
      ...(await import("../../../compiler/syntax/language/names-in.ts")),
      ...(await import("../../../compiler/service/complete.ts")),
      ...(await import("../../../compiler/syntax/lexer/lexer.ts")),
      ...(await import("../../../compiler/service/highlight.ts")),
      ...(await import("../../../compiler/service/hover.ts")),
      ...(await import("../../../compiler/syntax/language/forms.ts")),
      ...(await import("../../../compiler/syntax/language/keywords.ts")),
    }
  })

  afterAll(() => {
    vi.doUnmock("../../../compiler/syntax/language/statements.ts")
    vi.resetModules()
  })

  const read = (text: string) => language.parse("shop.ruleout", text)
  const said = (text: string) => read(text).diagnostics.map(({ code, message }) => `${code}: ${message}`)

  test("is read, printed, and its names are known", () => {
    const { tree, diagnostics } = read(SOURCE)
    expect(diagnostics).toEqual([])
    expect(tree.declarations[0]).toMatchObject({
      weighs: { value: 12 },
      restsOn: [{ text: "rear_cover" }, { text: "frame" }],
      marked: { value: "blue dot" },
    })
    expect(language.print(tree)).toBe(SOURCE)
    expect(language.namesUsed(tree.declarations[0]!).map(({ name }) => name.text)).toEqual([
      "rear_cover",
      "frame",
    ])
  })

  test("has its messages", () => {
    expect(said('part box "box" weighs')).toEqual(["incomplete: Expected a number after `weighs`."])
    expect(said('part box "box" rests on')).toEqual(["incomplete: Expected a setup after `on`."])
    expect(said('part box "box" wieghs 3')).toEqual(["misspelt: `wieghs` isn't a keyword; `weighs` is."])
    expect(said('part box "box" weighs 3 weighs 4')).toEqual([
      "doubled-clause: `weighs` is given twice in this part.",
    ])
    expect(said('part box "box" marked blue dot')).toEqual(["incomplete: The marked has no quotes."])
    expect(read('part box "box" colour 3').diagnostics[0]!.help).toContain("`weighs`, `rests on`, `marked`")
    expect(said('setup weighs "box"')).toEqual(["reserved-word: `weighs` is a keyword and can't be a name."])
  })

  test("is completed, highlighted, explained, and in the form that the reference has", () => {
    const following = (text: string) => language.expectedAfter(language.tokenize("", text).tokens).expected
    expect(following('part box "box"')).toContainEqual(
      expect.objectContaining({ what: "clause", words: "rests on" }),
    )
    expect(following('part box "box" rests on')).toEqual([{ what: "name", kinds: ["setup"] }])
    expect(language.highlight("  weighs 12").map(({ look }) => look)).toEqual(["keyword", "number"])
    expect(language.hoverWord("part", "marked")).toMatchObject({
      lines: expect.arrayContaining(["How to know it."]),
    })
    // Where a form is broken into lines is no matter here.
    expect(language.formsOf("part").join(" ").replace(/\s+/g, " ")).toContain(
      '[weighs N] [rests on SETUP, …] [marked "text"]',
    )
    expect(language.KEYWORDS).toEqual(expect.arrayContaining(["weighs", "rests", "marked"]))
  })
})

test("clauses of one group exclude each other, but for those that the data lets stand together", () => {
  const made = (words: string, beside?: string) =>
    clauseSpecs({
      kinds: {
        words,
        argument: "nothing",
        example: words,
        says: "",
        group: "kind",
        ...(beside && { beside }),
      },
    } as never)[0]!
  const [sands, paints, dries] = [made("sands"), made("paints"), made("dries", "paints")]
  expect(excludes(sands, paints) && excludes(paints, sands)).toBe(true)
  expect(excludes(paints, dries) || excludes(dries, paints)).toBe(false)
  expect(excludes(sands, dries) && excludes(dries, dries)).toBe(true)
})

test("the shortest complete declaration of each kind is written as the data has it", () => {
  expect(DECLARATIONS.map(({ keyword }) => leastForm(keyword))).toEqual([
    'ruleset NAME "title"',
    'use "relative/path.ruleout"',
    'part NAME "label"',
    'setup NAME "label"',
    'complaint NAME "text"',
    'fault NAME "label" in PLACE odds N',
    'told NAME "question" yes or no',
    'reading NAME "question" yes or no',
    'test NAME "instruction" reads READING',
    "when CONDITION rule out FAULTS",
    "rule NAME: when CONDITION rule out FAULTS",
    "never CONDITION",
    'proof "text"',
    'scenario "text"',
    "texts LANGUAGE",
  ])
})

test("a binder that leaves a clause unread does not compile", () => {
  const read = ({ takes: _, tries: __, ...head }: ComplaintDecl) => allRead(head)
  const left = ({ takes: _, ...head }: ComplaintDecl) => {
    // @ts-expect-error `tries` has not been read.
    allRead(head)
  }
  expect([read, left].map((each) => each.length)).toEqual([1, 1])
})
