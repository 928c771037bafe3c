import { DECLARATION_WORDS, KEYWORDS } from "./language.ts"
import { HIDDEN, Unreadable } from "./unreadable.ts"

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

const KEYS = new Map(KEYWORDS.map((word) => [word, word]))
const STARTS = new Set(DECLARATION_WORDS)

export function beginsDeclaration(token: Token): boolean {
  return STARTS.has(token.key)
}

// One sticky pattern per kind, all linear in the length of the text. The first word pattern is the fast path; the
// second takes in `-` before a letter and letters beyond a–z, so that `rear-cover` is one wrong name and not three
// tokens, and `/` for `bit/s`. Texts take curly quotes too, which word processors put in.
const SPACE = /[ \t\r\n]+/y
const NAME = /[a-z_][a-z0-9_]*(?![^\s"#,:()%])/y
const WORD =
  /[\p{L}_°℃][\p{L}\p{M}\p{N}_°]*(?:-(?=\p{L})[\p{L}\p{M}\p{N}_°]+|\/(?=\p{L})[\p{L}\p{M}\p{N}]+)*/uy
const TEXT = /"(?:[^"\\\r\n]|\\[^\r\n])*"|[“”„][^“”„"\r\n]*[“”"]/y
const NUMBER = /[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)/y
const MARK = /[,:()%]/y
const REST_OF_LINE = /[^\r\n]*/y
const SYMBOL = /[=<>!≤≥≠&|]+/y
const ODD_SPACE = /[\u00a0\u2000-\u200b\u202f\u3000]+/y
const GARBAGE =
  /(?:(?![\p{L}_°℃"“”„0-9,:()%#=<>!≤≥≠&| \t\r\n\u00a0\u2000-\u200b\u202f\u3000]|[-+.][0-9]).)+/suy

/** Cuts the text of one file into tokens; what cannot be read becomes findings, never a failure. */
export function tokenize(file: string, text: string): Tokens {
  const tokens: Token[] = []
  const comments: RawComment[] = []
  const unreadable = new Unreadable(file)
  const hidden = HIDDEN.test(text)
  let at = 0
  let first = true
  let blank = false

  if (text.startsWith("\ufeff")) {
    at = 1
    unreadable.byteOrderMark()
  }

  while (at < text.length) {
    const start = at
    if (scan(SPACE)) {
      const lines = lineBreaks(text, start, at)
      if (lines > 0) first = true
      if (lines > 1) blank = true
      continue
    }
    switch (text.charCodeAt(at)) {
      case 0x23: // #
        scan(REST_OF_LINE)
        comment(start)
        break
      case 0x22: // "
      case 0x201c:
      case 0x201d:
      case 0x201e:
        if (scan(TEXT)) literal(start)
        else openText(start)
        break
      default:
        if (scan(NAME) || scan(WORD)) word(start)
        else if (scan(NUMBER)) push("number", start)
        else if (scan(MARK)) push("mark", start, text.slice(start, at))
        else if (scan(SYMBOL)) push("symbol", start)
        else if (scan(ODD_SPACE)) unreadable.oddSpace(start, at, text.slice(start, at))
        else if (scan(GARBAGE)) garbage(start)
        else throw new Error("a character that no pattern takes")
    }
    blank = false
  }
  return { tokens, comments, unreadable }

  function scan(pattern: RegExp): boolean {
    pattern.lastIndex = at
    if (!pattern.test(text)) return false
    at = pattern.lastIndex
    return true
  }

  function push(
    kind: TokenKind,
    start: number,
    key = "",
    content = key === "" ? text.slice(start, at) : key,
  ): void {
    tokens.push({ kind, key, text: content, start, end: at, first })
    first = false
  }

  function word(start: number): void {
    const content = text.slice(start, at)
    push("word", start, keyOf(content), content)
  }

  function literal(start: number): void {
    const content = text.slice(start, at)
    push("text", start, "", unreadable.resolve(content, start))
    if (hidden) unreadable.hidden(content, start, "text")
  }

  function openText(start: number): void {
    scan(REST_OF_LINE)
    const content = text.slice(start, at).trimEnd()
    tokens.push({ kind: "garbage", key: "", text: content, start, end: start + content.length, first })
    first = false
    unreadable.openText(start, content)
  }

  function comment(start: number): void {
    const content = text.slice(start, at).trimEnd()
    comments.push({ text: content, start, end: start + content.length, first, blankBefore: blank })
    if (hidden) unreadable.hidden(content, start, "comment")
  }

  function garbage(start: number): void {
    const last = tokens.at(-1)
    // A run that only white space interrupts is one mistake.
    if (last?.kind === "garbage" && !first) {
      tokens[tokens.length - 1] = { ...last, end: at }
      unreadable.strayMore(text, last.start, at)
    } else {
      tokens.push({ kind: "garbage", key: "", text: "", start, end: at, first })
      unreadable.stray(text, start, at)
    }
    first = false
  }
}

/** A keyword is known in any case of its letters (the parser then says that small ones are meant). */
function keyOf(word: string): string {
  return KEYS.get(word) ?? (word.length < 12 ? (KEYS.get(word.toLowerCase()) ?? "") : "")
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
