import type { IToken, Lexer, TokenType } from "chevrotain"
import { lookUp } from "../../run/lookup.ts"
import { DECLARATION_WORDS } from "../language/keywords.ts"
import { CharacterProblems, HIDDEN } from "./character-problems.ts"
import {
  Comment,
  Dash,
  Garbage,
  isWord,
  MARKS,
  makeLexer,
  Num,
  numberOf,
  OddSpace,
  OpenText,
  Operator,
  OtherText,
  reservedWord,
  Sign,
  Text,
  WORD_TOKENS,
  Word,
} from "./token-types.ts"

/**
 * `word`: a name, keyword or unit, told apart by where it stands. `garbage`: characters that no token begins with;
 * they stay in the stream, so that the parser does not report again what has been reported here.
 */
export type TokenKind = "word" | "number" | "text" | "mark" | "symbol" | "garbage" | "end"

export interface Token {
  readonly kind: TokenKind
  /** The keyword (in small letters) or the mark `, : ( ) %`, or an operator; empty for all else, so that comparing it is enough. */
  readonly key: string
  /** As typed; of a text what it says, with its escapes resolved. */
  readonly text: string
  readonly start: number
  readonly end: number
  /** The first on its line. */
  readonly first: boolean
}

/** A token as the grammar takes it. */
export type Lexeme = { -readonly [K in keyof Token]: Token[K] } & IToken

/** A comment as found; what stands before it decides where the printer puts it. */
export interface RawComment {
  readonly text: string
  readonly start: number
  readonly end: number
  readonly first: boolean
  readonly blankBefore: boolean
}

export interface Tokens {
  readonly tokens: readonly Token[]
  readonly comments: readonly RawComment[]
  readonly problems: CharacterProblems
}

interface Lexemes extends Tokens {
  readonly tokens: readonly Lexeme[]
}

const STARTS = new Set(DECLARATION_WORDS)

export function beginsDeclaration(token: Token): boolean {
  return STARTS.has(token.key)
}

/** Made when first needed: the library studies the tokens, and a page that only runs graphs never asks. */
let lexer: Lexer | undefined

/** Cuts the text of one file into tokens; what cannot be read becomes diagnostics, never a failure. */
export const tokenize: (file: string, text: string) => Tokens = lex

/** As `tokenize`, with tokens for the grammar. */
export function lex(file: string, text: string): Lexemes {
  lexer ??= makeLexer()
  const collector = new TokenCollector(file, text)
  const isMarked = text.startsWith("\ufeff")
  if (isMarked) collector.problems.byteOrderMark()
  const { tokens } = lexer.tokenize(isMarked ? ` ${text.slice(1)}` : text)
  for (const { image, startOffset, tokenType } of tokens) collector.add(image, startOffset, tokenType)
  collector.problems.close()
  return collector
}

/** Makes tokens and comments of what the patterns found. */
class TokenCollector implements Lexemes {
  readonly tokens: Lexeme[] = []
  readonly comments: RawComment[] = []
  readonly problems: CharacterProblems
  readonly #text: string
  /** Something in the text can't be seen. */
  readonly #hasHidden: boolean
  /** Where what was added last ends. */
  #last = 0
  /** Nothing has been added yet on this line. */
  #isFirst = true

  constructor(file: string, text: string) {
    this.#text = text
    this.#hasHidden = HIDDEN.test(text)
    this.problems = new CharacterProblems(file)
  }

  add(image: string, start: number, type: TokenType): void {
    const lines = lineBreaks(this.#text, this.#last, start)
    this.#last = start + image.length
    if (lines > 0) this.#isFirst = true
    if (isWord(type)) {
      const key = reservedWord(image)
      this.#push("word", key === "" ? Word : lookUp(WORD_TOKENS, key), key, image, start)
    } else if (type === Num) this.#push("number", Num, "", image, start)
    else if (type === Sign || type === Dash) this.#push("symbol", type, "", image, start)
    else if (type === Operator) this.#push("mark", Operator, image, image, start)
    else if (type === Comment) this.#comment(image, start, lines > 1)
    else if (type === OddSpace) this.problems.oddSpace(start, this.#last, image)
    else if (type === Garbage) this.#garbage(start)
    else if (type === OpenText) this.#openText(image, start)
    else if (type === Text || type === OtherText) {
      this.#push("text", Text, "", this.problems.resolve(image, start), start)
      if (this.#hasHidden) this.problems.hidden(image, start, "text")
    } else this.#push("mark", lookUp(MARKS, image), image, image, start)
  }

  #push(
    kind: TokenKind,
    tokenType: TokenType,
    key: string,
    text: string,
    start: number,
    end = this.#last,
  ): void {
    const tokenTypeIdx = numberOf(tokenType)
    const first = this.#isFirst
    // One by one, and always in this order: there are many of them.
    this.tokens.push({
      kind,
      key,
      text,
      start,
      end,
      first,
      image: text,
      startOffset: start,
      tokenType,
      tokenTypeIdx,
    })
    this.#isFirst = false
  }

  #openText(image: string, start: number): void {
    const content = image.trimEnd()
    this.#push("garbage", Garbage, "", content, start, start + content.length)
    this.problems.openText(start, content)
  }

  #comment(image: string, start: number, blankBefore: boolean): void {
    const text = image.trimEnd()
    this.comments.push({ text, start, end: start + text.length, first: this.#isFirst, blankBefore })
    if (this.#hasHidden) this.problems.hidden(text, start, "comment")
  }

  #garbage(start: number): void {
    const before = this.tokens.at(-1)
    // A run that only white space interrupts is one mistake.
    if (before?.kind === "garbage" && !this.#isFirst) {
      before.end = this.#last
      this.problems.strayMore(this.#text, before.start, this.#last)
    } else {
      this.#push("garbage", Garbage, "", "", start)
      this.problems.stray(this.#text, start, this.#last)
    }
  }
}

/** Line breaks between two offsets, counted up to 2: more is no more than a blank line. CR LF is one. */
export function lineBreaks(text: string, start: number, end: number): number {
  let count = 0
  for (let i = start; i < end && count < 2; i++) {
    const c = text.charCodeAt(i)
    if (c === 0x0a || (c === 0x0d && text.charCodeAt(i + 1) !== 0x0a)) count++
  }
  return count
}
