import type { IToken, Lexer, TokenType } from "chevrotain"
import { DECLARATION_WORDS } from "../language/statements.ts"
import { HIDDEN, Unreadable } from "../recovery/skipped-text.ts"
import {
  Comment,
  Dash,
  Garbage,
  isWord,
  MARKS,
  makeLexer,
  Num,
  OddSpace,
  OpenText,
  OtherText,
  RESERVED,
  reservedWord,
  Sign,
  Text,
  Word,
} from "./token-types.ts"

/**
 * `word`: a name, keyword or unit, told apart by where it stands. `garbage`: characters that no token begins with;
 * they stay in the stream, so that the parser does not report again what has been reported here.
 */
export type TokenKind = "word" | "number" | "text" | "mark" | "symbol" | "garbage" | "end"

export interface Token {
  readonly kind: TokenKind
  /** The keyword (in small letters) or the mark `, : ( ) %`; empty for all else, so that comparing it is enough. */
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
  readonly unreadable: Unreadable
}

interface Lexemes extends Tokens {
  readonly tokens: readonly Lexeme[]
}

const STARTS = new Set(DECLARATION_WORDS)

export function beginsDeclaration(token: Token): boolean {
  return STARTS.has(token.key)
}

let lexer: Lexer | undefined

/** Cuts the text of one file into tokens; what cannot be read becomes findings, never a failure. */
export const tokenize: (file: string, text: string) => Tokens = lex

/** As `tokenize`, with tokens for the grammar. */
export function lex(file: string, text: string): Lexemes {
  lexer ??= makeLexer()
  const tokens: Lexeme[] = []
  const comments: RawComment[] = []
  const unreadable = new Unreadable(file)
  const hidden = HIDDEN.test(text)
  const isMarked = text.startsWith("\ufeff")
  let last = 0
  let first = true

  if (isMarked) unreadable.byteOrderMark()
  for (const { image, startOffset: start, tokenType } of lexer.tokenize(isMarked ? ` ${text.slice(1)}` : text)
    .tokens) {
    const lines = lineBreaks(text, last, start)
    last = start + image.length
    if (lines > 0) first = true
    if (isWord(tokenType)) {
      const key = reservedWord(image)
      push("word", key === "" ? Word : RESERVED.get(key)!, key, image, start)
    } else if (tokenType === Num) push("number", Num, "", image, start)
    else if (tokenType === Sign || tokenType === Dash) push("symbol", tokenType, "", image, start)
    else if (tokenType === Comment) comment(image, start, lines > 1)
    else if (tokenType === OddSpace) unreadable.oddSpace(start, last, image)
    else if (tokenType === Garbage) garbage(start)
    else if (tokenType === OpenText) openText(image, start)
    else if (tokenType === Text || tokenType === OtherText) {
      push("text", Text, "", unreadable.resolve(image, start), start)
      if (hidden) unreadable.hidden(image, start, "text")
    } else push("mark", MARKS.get(image)!, image, image, start)
  }
  unreadable.close()
  return { tokens, comments, unreadable }

  function push(kind: TokenKind, type: TokenType, key: string, content: string, start: number, end = last) {
    const tokenTypeIdx = type.tokenTypeIdx!
    // One by one, and always in this order: there are many of them.
    tokens.push({
      kind,
      key,
      text: content,
      start,
      end,
      first,
      image: content,
      startOffset: start,
      tokenType: type,
      tokenTypeIdx,
    })
    first = false
  }

  function openText(image: string, start: number): void {
    const content = image.trimEnd()
    push("garbage", Garbage, "", content, start, start + content.length)
    unreadable.openText(start, content)
  }

  function comment(image: string, start: number, blankBefore: boolean): void {
    const content = image.trimEnd()
    comments.push({ text: content, start, end: start + content.length, first, blankBefore })
    if (hidden) unreadable.hidden(content, start, "comment")
  }

  function garbage(start: number): void {
    const before = tokens.at(-1)
    // A run that only white space interrupts is one mistake.
    if (before?.kind === "garbage" && !first) {
      before.end = last
      unreadable.strayMore(text, before.start, last)
    } else {
      push("garbage", Garbage, "", "", start)
      unreadable.stray(text, start, last)
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
