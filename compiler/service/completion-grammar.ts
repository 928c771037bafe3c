import type { Kind } from "../model/symbol-table.ts"
import type { ArgumentShape } from "../syntax/language/arguments.ts"
import type { ClauseSpec } from "../syntax/language/clause-specs.ts"
import { COMPARISONS, type Compared } from "../syntax/language/comparisons.ts"
import type { DeclarationSpec } from "../syntax/language/declaration-specs.ts"
import { DECLARATIONS } from "../syntax/language/statements.ts"
import type { Token } from "../syntax/lexer/lexer.ts"

/**
 * The grammar once more, as far as completion needs it: not to tell right from wrong, but to say what may come after
 * some tokens. A pattern is matched by the set of places where it can end; where it runs out of tokens it notes what it
 * would have taken next. The clauses themselves come from `syntax/language/`.
 */
export type Expected =
  | { readonly what: "word"; readonly words: string }
  | { readonly what: "clause"; readonly declaration: DeclarationSpec; readonly words: string }
  | { readonly what: "name"; readonly kinds: readonly Kind[] }
  | {
      readonly what:
        | "value"
        | "unit"
        | "comparison"
        | "new-name"
        | "number"
        | "text"
        | "percent"
        | "new-unit"
        | "input"
    }

export type Pattern = (
  tokens: readonly Token[],
  at: number,
  note: (expected: Expected) => void,
) => readonly number[]

function leaf(expected: Expected, takes: (token: Token) => boolean): Pattern {
  return (tokens, at, note) => {
    const token = tokens[at]
    if (token === undefined) {
      note(expected)
      return []
    }
    return takes(token) ? [at + 1] : []
  }
}

function seq(...patterns: Pattern[]): Pattern {
  return (tokens, at, note) => {
    let ends: readonly number[] = [at]
    for (const pattern of patterns) ends = unique(ends.flatMap((end) => pattern(tokens, end, note)))
    return ends
  }
}

function alt(...patterns: Pattern[]): Pattern {
  return (tokens, at, note) => unique(patterns.flatMap((pattern) => pattern(tokens, at, note)))
}

const nothing: Pattern = (_, at) => [at]
const optional = (pattern: Pattern) => alt(pattern, nothing)

/** Any number of times; also none. */
function many(pattern: Pattern): Pattern {
  return (tokens, at, note) => {
    const ends = new Set([at])
    for (const end of ends) for (const next of pattern(tokens, end, note)) ends.add(next)
    return [...ends]
  }
}

const unique = (places: readonly number[]) => (places.length < 2 ? places : [...new Set(places)])

/** Words as written; the whole phrase is offered at once, and its rest after its first words. */
export function words(phrase: string, offer: Expected = { what: "word", words: phrase }): Pattern {
  const all = phrase.split(" ")
  return (tokens, at, note) => {
    for (const [i, word] of all.entries()) {
      const token = tokens[at + i]
      if (token === undefined) {
        note(i === 0 ? offer : { what: "word", words: all.slice(i).join(" ") })
        return []
      }
      if (token.key !== word && token.text !== word) return []
    }
    return [at + all.length]
  }
}

const isWord = (token: Token) => token.kind === "word"
const mark = (key: string): Pattern => leaf({ what: "word", words: key }, (token) => token.key === key)
const name = (...kinds: Kind[]) => leaf({ what: "name", kinds }, (token) => isWord(token) && token.key === "")
const newName = leaf({ what: "new-name" }, isWord)
const value = leaf({ what: "value" }, isWord)
const number = leaf({ what: "number" }, (token) => token.kind === "number")
const text = leaf({ what: "text" }, (token) => token.kind === "text")
const unit = leaf({ what: "unit" }, (token) => isWord(token) || token.key === "%")
const percent = seq(
  leaf({ what: "percent" }, (token) => token.kind === "number"),
  mark("%"),
)
const minutes = seq(number, words("min"))
const wait = seq(number, alt(words("min"), words("h")))
const outcome = alt(words("gone"), words("stays"))
const list = (item: Pattern) => seq(item, many(seq(mark(","), item)))
const reading = name("reading", "told")
const place = name("part", "setup")

const amount = seq(number, unit)
const comparedWith: Readonly<Record<Compared, Pattern>> = {
  value,
  values: list(value),
  number: amount,
  numbers: seq(number, optional(unit), words("and"), amount),
}
const comparison = alt(
  ...Object.entries(COMPARISONS).map(([phrase, compared]) =>
    seq(words(phrase, { what: "comparison" }), comparedWith[compared]),
  ),
)

const term: Pattern = (tokens, at, note) =>
  alt(seq(words("not"), term), seq(mark("("), condition, mark(")")), seq(reading, comparison))(
    tokens,
    at,
    note,
  )
export const condition: Pattern = seq(term, many(seq(alt(words("and"), words("or")), term)))

/** In `shows` and `normally` the reading is not named again. */
const bareTerm: Pattern = (tokens, at, note) =>
  alt(seq(words("not"), bareTerm), seq(mark("("), bare, mark(")")), comparison)(tokens, at, note)
const bare: Pattern = seq(bareTerm, many(seq(alt(words("and"), words("or")), bareTerm)))

const range = seq(
  leaf({ what: "new-unit" }, (token) => isWord(token) || token.key === "%"),
  words("from"),
  number,
  words("to"),
  number,
  optional(seq(words("by"), number)),
)

const faults = seq(
  list(
    seq(alt(name("fault"), seq(words("any in"), place)), optional(seq(words("except"), list(name("fault"))))),
  ),
  optional(percent),
)

const input = seq(
  newName,
  text,
  words("in"),
  leaf({ what: "new-unit" }, (token) => isWord(token) || token.key === "%"),
)
const OPERATORS = new Set("+-−*×·/÷")
const inputName = leaf({ what: "input" }, isWord)
const operator = leaf({ what: "word", words: "-" }, (token) => OPERATORS.has(token.key))
const operand: Pattern = (tokens, at, note) =>
  alt(seq(mark("("), expression, mark(")")), seq(number, optional(unit)), inputName)(tokens, at, note)
const expression: Pattern = seq(operand, many(seq(operator, operand)))
const picture = seq(text, text)

/** What follows the words of a clause, by the shape of its argument. */
const argumentPatterns: Readonly<Record<ArgumentShape, (clause: ClauseSpec) => Pattern>> = {
  nothing: () => nothing,
  yesOrNo: () => nothing,
  number: () => number,
  hourly: () => seq(number, words("per hour")),
  percent: () => percent,
  minutes: () => minutes,
  wait: () => wait,
  text: () => text,
  picture: () => picture,
  caution: () => seq(text, many(seq(words("picture"), picture))),
  currency: () => newName,
  language: () => newName,
  onOrOff: () => alt(words("on"), words("off")),
  name: ({ names }) => name(...names),
  names: ({ names }) => list(name(...names)),
  nameWithPercent: ({ names }) => seq(name(...names), percent),
  nameWithOptionalPercent: ({ names }) => seq(name(...names), optional(percent)),
  namesWithOptionalPercent: ({ names }) => list(seq(name(...names), optional(percent))),
  values: () => list(newName),
  range: () => range,
  condition: () => condition,
  conditionWithPercent: () => seq(bare, percent),
  shows: () => alt(seq(reading, bare, optional(percent)), seq(name("complaint"), percent)),
  expects: ({ names }) => seq(name(...names), bare),
  finding: ({ names }) => seq(name(...names), words("is"), alt(value, seq(number, optional(unit)))),
  nameWithOutcome: ({ names }) => seq(name(...names), outcome),
  outcome: () => outcome,
  ending: () => alt(words("holds"), words("fails")),
  inputs: () => list(input),
  expression: () => expression,
  standing: () =>
    seq(name("fault"), alt(words("ruled out"), seq(alt(words("at least"), words("at most")), percent))),
  translation: ({ names }) => seq(optional(name(...names)), text, words("as"), text),
  valueTranslation: ({ names }) => seq(name(...names), words("is"), value, words("as"), text),
  faults: () => faults,
}

const heads: Readonly<Record<string, Pattern>> = {
  use: text,
  when: condition,
  rule: seq(newName, mark(":"), words("when"), condition),
  never: condition,
  proof: text,
  scenario: text,
  texts: newName,
}

/** A whole declaration, by its keyword. */
export const declarations: ReadonlyMap<
  string,
  { readonly spec: DeclarationSpec; readonly pattern: Pattern }
> = new Map(
  DECLARATIONS.map((spec) => {
    const clauses = spec.clauses.map((clause) =>
      seq(
        words(clause.words, { what: "clause", declaration: spec, words: clause.words }),
        argumentOf(clause),
      ),
    )
    const head = heads[spec.keyword] ?? seq(newName, text)
    return [spec.keyword, { spec, pattern: seq(words(spec.keyword), head, many(alt(...clauses))) }]
  }),
)

/** What follows the words of a clause. */
export function argumentOf(clause: ClauseSpec): Pattern {
  return argumentPatterns[clause.argument](clause)
}
