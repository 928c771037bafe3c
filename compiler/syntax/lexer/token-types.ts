import { type CustomPatternMatcherFunc, createToken, type IToken, Lexer, type TokenType } from "chevrotain"
import { KEYWORDS, WORDS } from "../language/keywords.ts"

/**
 * The kinds of token, for the lexer and the grammar. The patterns are linear in the length of the text, and together
 * take every character, so that cutting a text into tokens never fails.
 *
 * All words have one pattern, and a table then tells the reserved ones: a pattern for each of the reserved words would
 * be tried on every word.
 */
function skipped(name: string, pattern: RegExp): TokenType {
  return createToken({ name, pattern, group: Lexer.SKIPPED, line_breaks: true })
}

function lexed(name: string, pattern: RegExp): TokenType {
  return createToken({ name, pattern, line_breaks: false })
}

/**
 * The library drops the flags of a pattern, and `u` changes what it takes; so these are matched by a function. `firsts`:
 * the characters that it can begin with, so that all others are passed over quickly.
 */
function wide(name: string, pattern: RegExp, firsts = ""): TokenType {
  const exec: CustomPatternMatcherFunc = (text, offset) => {
    if (firsts !== "" && !firsts.includes(text.charAt(offset))) return null
    pattern.lastIndex = offset
    return pattern.exec(text)
  }
  return createToken({ name, pattern: exec, line_breaks: false })
}

/** Kinds that no pattern gives: they are told from others by a table, or by what stands around. */
function told(name: string, categories: TokenType[] = [], label = ""): TokenType {
  return createToken({ name, pattern: Lexer.NA, categories, label })
}

export const Space = skipped("Space", /[ \t\r\n]+/)
export const Comment = lexed("Comment", /#[^\r\n]*/)

// The first pattern of words is the fast path; the second takes in `-` before a letter and letters beyond a–z, so that
// `rear-cover` is one wrong name and not three tokens, and `/` for `bit/s`.
const PlainWord = lexed("PlainWord", /[a-z_][a-z0-9_]*(?![^\s"#,:()%])/)
const WideWord = wide(
  "WideWord",
  /[\p{L}_°℃℉][\p{L}\p{M}\p{N}_°]*(?:-(?=\p{L})[\p{L}\p{M}\p{N}_°]+|\/(?=\p{L})[\p{L}\p{M}\p{N}]+)*/uy,
)
// Texts take curly quotes too, which word processors put in.
export const Text = lexed("Text", /"(?:[^"\\\r\n]|\\[^\r\n])*"|[“”„][^“”„"\r\n]*[“”"]/)
/** Texts in single or pointed quotes; an apostrophe within a word opens none. */
export const OtherText = wide(
  "OtherText",
  /(?<![\p{L}\p{N}])(?:['‘‚][^'‘’"\r\n]*['’‘]|«[^»"\r\n]*»|»[^«"\r\n]*«)(?![\p{L}\p{N}])/uy,
  "'‘‚«»",
)
export const OpenText = lexed("OpenText", /["“”„][^\r\n]*/)
/** The dash of a range, `5–10 V` and `5 - 10 V`: not the sign of its second number. */
export const Dash = wide(
  "Dash",
  /(?<=[0-9][ \t]?(?:[A-Za-zΩ°%]{1,4}[ \t]?)?)[–—−](?=[ \t]?[0-9])|(?<=[0-9])-(?=[0-9])|(?<=[0-9][ \t])-(?=[ \t][0-9])/uy,
  "-–—−",
)
const OPERATORS = "+-−*×·/÷"
/** What is between `gives` and an operator is no longer than this. */
const LONGEST_EXPRESSION = 400
/** `+ - × ÷` in what a reading `gives`. Elsewhere they have no meaning, and a sign belongs to its number. */
export const Operator = createToken({
  name: "Operator",
  line_breaks: false,
  pattern: (text, offset, before) => {
    const sign = text.charAt(offset)
    if (sign === "" || !OPERATORS.includes(sign)) return null
    if (!endsOperand(before.at(-1)) || !isInExpression(before)) return null
    return [sign]
  },
})

/** `metered/rated` is two names there. After a number it is a unit, like `km/h`. */
export const OperandWord = createToken({
  name: "OperandWord",
  line_breaks: false,
  pattern: (text, offset, before) => {
    if (!/[a-z_]/.test(text.charAt(offset)) || before.at(-1)?.tokenType === Num || !isInExpression(before))
      return null
    OPERAND_WORD.lastIndex = offset
    return OPERAND_WORD.exec(text)
  },
})
const OPERAND_WORD = /[a-z_][a-z0-9_]*(?=[-/])/y

/** Only operands, operators and parentheses stand between here and the word `gives`. */
function isInExpression(before: readonly IToken[]): boolean {
  const from = before.length - 1
  for (let i = from; i >= 0 && from - i < LONGEST_EXPRESSION; i--) {
    const { image, tokenType } = before[i] as IToken
    if (isWord(tokenType)) {
      if (image === "gives") return true
      if (reservedWord(image) !== "") return false
    } else if (tokenType === Mark ? !/[()%]/.test(image) : !EXPRESSION_KINDS.has(tokenType)) return false
  }
  return false
}

function endsOperand(token: IToken | undefined): boolean {
  return token !== undefined && token.tokenType !== Operator && token.image !== "(" && token.image !== "gives"
}

export const Num = lexed("Num", /[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)/)
const Mark = lexed("Mark", /[,:()%]/)
export const Sign = lexed("Sign", /-?[=<>!≤≥≠&|]+/)
const EXPRESSION_KINDS: ReadonlySet<TokenType> = new Set([Num, Comment, Operator])
export const OddSpace = lexed("OddSpace", /[\u00a0\u2000-\u200b\u202f\u3000]+/)
export const Garbage = wide(
  "Garbage",
  /(?:(?![\p{L}_°℃℉"“”„0-9,:()%#=<>!≤≥≠&| \t\r\n\u00a0\u2000-\u200b\u202f\u3000]|[-+.][0-9]|-[=<>!≤≥≠&|]).)+/suy,
)

/** Any word, reserved or not: a value of `one of` is one. */
export const AnyWord = told("AnyWord")
/** A word that is not reserved: a name, or a unit. */
export const Word = told("Word", [AnyWord])
export const Comma = told("Comma", [], "`,`")
export const Colon = told("Colon", [], "`:`")
export const Open = told("Open", [], "`(`")
export const Close = told("Close", [], "`)`")
export const Percent = told("Percent", [], "`%`")
/** `!=`, `>=` and `<=` of other languages, which are two words each here. */
export const NotEqual = told("NotEqual")
export const NoLess = told("NoLess")
export const NoMore = told("NoMore")

const IS_RESERVED: ReadonlySet<string> = new Set(KEYWORDS)

/** The words of the language. */
export const WORD_TOKENS: ReadonlyMap<string, TokenType> = new Map(
  WORDS.map((word) => [word, told(`word ${word}`, [AnyWord], `\`${word}\``)]),
)

export const MARKS: ReadonlyMap<string, TokenType> = new Map([
  [",", Comma],
  [":", Colon],
  ["(", Open],
  [")", Close],
  ["%", Percent],
])

/** In the order in which they are tried. */
const PATTERNS = [
  ...[Space, PlainWord, Text, Operator, Dash, Num, Mark, Comment],
  ...[OperandWord, WideWord, OtherText, OpenText, Sign, OddSpace, Garbage],
]

export const TOKEN_TYPES: TokenType[] = [
  ...PATTERNS,
  AnyWord,
  Word,
  ...MARKS.values(),
  NotEqual,
  NoLess,
  NoMore,
  ...WORD_TOKENS.values(),
]

/** `checked`: have the library look for mistakes in the patterns, which takes longer than a small file. */
export function makeLexer(checked = false): Lexer {
  // Few patterns, the frequent ones first: sorting them by first characters would gain nothing.
  return new Lexer(TOKEN_TYPES, {
    positionTracking: "onlyOffset",
    safeMode: true,
    skipValidations: !checked,
  })
}

/** The reserved word that this is, in whatever case of its letters, or nothing. */
export function reservedWord(word: string): string {
  if (IS_RESERVED.has(word)) return word
  const small = word.length < 12 ? word.toLowerCase() : ""
  return IS_RESERVED.has(small) ? small : ""
}

export function isWord(type: TokenType): boolean {
  return type === PlainWord || type === WideWord || type === OperandWord
}

/** The number that the library gives a kind of token when it is made. */
export function numberOf({ name, tokenTypeIdx }: TokenType): number {
  if (tokenTypeIdx === undefined) throw new Error(`The kind of token ${name} has no number`)
  return tokenTypeIdx
}
