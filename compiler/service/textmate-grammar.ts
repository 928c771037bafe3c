import { at } from "../run/lookup.ts"
import type { ArgumentShape } from "../syntax/language/arguments.ts"
import { CONTEXTUAL_WORDS, DECLARATION_WORDS, KEYWORDS } from "../syntax/language/keywords.ts"
import { DECLARATIONS } from "../syntax/language/statements.ts"
import type { TokenStyle } from "./highlight.ts"

/** How a TextMate grammar names what the highlighter styles, with the usual names, so that themes know them. */
export const SCOPES: Readonly<Record<TokenStyle, string>> = {
  declaration: "keyword.declaration.ruleout",
  keyword: "keyword.other.ruleout",
  "new-name": "entity.name.ruleout",
  name: "variable.other.ruleout",
  number: "constant.numeric.ruleout",
  unit: "keyword.other.unit.ruleout",
  text: "string.quoted.double.ruleout",
  comment: "comment.line.number-sign.ruleout",
  mark: "punctuation.separator.ruleout",
  broken: "invalid.illegal.ruleout",
}

type Captures = Readonly<Record<string, { readonly name: string }>>
type Pattern = { readonly name: string; readonly match: string } | { match: string; captures: Captures }

const WORD = String.raw`[\p{L}_°℃℉][\p{L}\p{M}\p{N}_°]*(?:[-/](?=\p{L})[\p{L}\p{M}\p{N}_°]+)*`
const WORD_ENDS = String.raw`(?![\p{L}\p{M}\p{N}_°]|[-/]\p{L})`
const NUMBER = String.raw`[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)`

/** What follows a word that is a name elsewhere, but for names and numbers. */
const AHEAD: Partial<Record<ArgumentShape, string>> = {
  expression: String.raw`[\p{L}_(0-9.+-]`,
  picture: '"',
  translation: `(?:"|${WORD})`,
  language: WORD,
}

function oneOf(words: Iterable<string>): string {
  return `(?:${[...words].sort((a, b) => b.length - a.length).join("|")})${WORD_ENDS}`
}

const reserved = `(?i:${oneOf(KEYWORDS)})`

/** Words that are names elsewhere, where they begin or go on a clause. */
function contextual(): string[] {
  const clauses = DECLARATIONS.flatMap((spec) => spec.clauses)
  return clauses.flatMap(({ words, names, argument }) => {
    const [first = "", ...others] = words.split(" ")
    const ahead = others[0] ?? AHEAD[argument] ?? (names.length > 0 || argument === "ending" ? WORD : NUMBER)
    return [
      ...(CONTEXTUAL_WORDS.has(first) ? [String.raw`${first}(?=[ \t]+${ahead})`] : []),
      ...others.flatMap((word, i) => {
        const before = [first, ...others.slice(0, i)].join(String.raw`[ \t]`)
        return CONTEXTUAL_WORDS.has(word) ? [String.raw`(?<=\b${before}[ \t])${word}${WORD_ENDS}`] : []
      }),
    ]
  })
}

function styled(match: string, ...looks: readonly TokenStyle[]): Pattern {
  if (looks.length === 1) return { name: SCOPES[at(looks, 0)], match }
  return { match, captures: Object.fromEntries(looks.map((look, i) => [i + 1, { name: SCOPES[look] }])) }
}

/** The language as a TextMate grammar, for editors that colour by one; made from the language's data, line by line. */
export function textmateGrammar(): object {
  const starts = `(?i:${oneOf(DECLARATION_WORDS)})`
  const naming = DECLARATIONS.filter(({ head }) => head.startsWith("NAME")).map(({ keyword }) => keyword)
  const name = `(?!${reserved})${WORD}`
  const meant = [...new Set(contextual())].join("|")
  return {
    name: "Ruleout",
    scopeName: "source.ruleout",
    fileTypes: ["ruleout"],
    patterns: [
      styled("#.*$", "comment"),
      styled(String.raw`"(?:[^"\\]|\\.)*"|[“”„][^“”„"]*[“”"]`, "text"),
      styled(`["“”„].*$`, "broken"),
      styled(String.raw`^\s*((?i:${oneOf(naming)}))[ \t]+(${name})`, "declaration", "new-name"),
      styled(String.raw`((?i:${oneOf(naming)}))[ \t]+(${name})`, "keyword", "new-name"),
      styled(String.raw`^\s*(${starts})()`, "declaration", "declaration"),
      styled(String.raw`(${NUMBER})[ \t]*(%|min${WORD_ENDS}|(?!${meant})${name})`, "number", "unit"),
      styled(NUMBER, "number"),
      styled(`${reserved}|${meant}`, "keyword"),
      styled(WORD, "name"),
      styled("[,:()%]", "mark"),
      styled(String.raw`(?<=[\p{L}\p{N}_)][ \t])[-+*/×÷−·](?=[ \t][\p{L}_(0-9.+-])`, "mark"),
      styled(String.raw`[^\s]`, "broken"),
    ],
  }
}
