import {
  type Diagnostic,
  diagnostic,
  type Edit,
  type Label,
  type Span,
} from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import type { SyntaxCode } from "../codes.ts"
import type { ClauseSpec } from "../language/clause-specs.ts"
import type { DeclarationSpec } from "../language/declaration-specs.ts"
import { forgetStray } from "../lexer/character-problems.ts"
import type { Token } from "../lexer/lexer.ts"

interface More {
  labels?: readonly Label[]
  help?: string | undefined
  edits?: readonly Edit[]
}

/** What is only written in another way: neither a guess, nor does anything get lost. */
const OTHER_SPELLINGS: ReadonlySet<SyntaxCode> = new Set(["symbol", "bad-number", "wrong-case"])

/** What is wrong with one declaration. Where it is clear what a mistake means, the text is read as that. */
export class DeclarationProblems {
  readonly file: string
  readonly diagnostics: Diagnostic[]
  /** The declaration that is being read. */
  readonly spec: DeclarationSpec
  /** The word that begins it. */
  readonly keyword: Span
  /** The clause that is being read. */
  clause: ClauseSpec | undefined
  /** Nothing had to be left out. */
  isWhole = true
  /** Something was read as meant and not as typed. */
  isCorrected = false

  constructor(file: string, diagnostics: Diagnostic[], spec: DeclarationSpec, keyword: Token) {
    this.file = file
    this.keyword = this.spanOf(keyword)
    this.diagnostics = diagnostics
    this.spec = spec
  }

  /** How what is being read would stand in a ruleset. */
  get example(): string {
    return this.clause?.example ?? this.spec.example
  }

  /** The kind of declaration as a message calls it: `part`. */
  get called(): string {
    const { kind } = this.spec
    if (kind === "told") return "told question"
    return kind === "use" || kind === "never" || kind === "texts" ? `\`${kind}\`` : kind
  }

  span(start: number, end: number): Span {
    return { file: this.file, start, end }
  }

  spanOf({ start, end }: Token): Span {
    return { file: this.file, start, end }
  }

  /** Reports what is left out of the tree. */
  report(code: SyntaxCode, span: Span, message: string, more: More = {}): void {
    this.isWhole = false
    this.diagnostics.push(diagnostic("error", code, span, message, more))
  }

  /** Whether a place has been reported with that code just now. */
  hasSaid(code: SyntaxCode, { start, end }: Span): boolean {
    const last = this.diagnostics.at(-1)
    return last?.code === code && last.span.start === start && last.span.end === end
  }

  /** Reports a mistake that is read as meant, with the edits that write it so. */
  #readAsMeant(code: SyntaxCode, span: Span, message: string, more: More): void {
    this.isCorrected = true
    this.diagnostics.push(diagnostic("error", code, span, message, more))
  }

  /**
   * Reports a mistake that is read as meant, with the one edit that changes several places. The edit is safe where what
   * stands there has one meaning in any case: another way to write a word or a number, and no guess.
   */
  correctAt(
    code: SyntaxCode,
    span: Span,
    message: string,
    title: string,
    changes: Edit["changes"],
    help?: string,
  ): void {
    this.#readAsMeant(code, span, message, {
      help,
      edits: [{ title, safe: OTHER_SPELLINGS.has(code), changes }],
    })
  }

  /** As `correctAt`, where the text of the span is replaced. */
  correct(code: SyntaxCode, span: Span, message: string, title: string, text: string, help?: string): void {
    this.correctAt(code, span, message, title, [{ span, text }], help)
  }

  /** As `correct`, where more than one can be meant: read as the first. */
  correctAsOneOf(
    code: SyntaxCode,
    span: Span,
    message: string,
    texts: readonly string[],
    help: string,
  ): void {
    const edits = texts.map((text) => ({
      title: `Write \`${text}\``,
      safe: false,
      changes: [{ span, text }],
    }))
    this.#readAsMeant(code, span, message, { help, edits })
  }

  /** The words of a clause are missing before what it is about. */
  missingWords(words: string, token: Token): void {
    const message = `\`${words}\` is missing before ${quoteToken(token)}.`
    const changes = [{ span: this.span(token.start, token.start), text: `${words} ` }]
    const edits = [{ title: `Insert \`${words}\``, safe: false, changes }]
    this.report("incomplete", this.spanOf(token), message, { edits })
  }

  /** A sign is missing after a token. */
  missingSign(sign: string, name: string, before: Token): void {
    const changes = [{ span: this.span(before.end, before.end), text: sign }]
    const message = `${name} is missing after ${quoteToken(before)}.`
    this.correctAt("incomplete", this.spanOf(before), message, `Insert \`${sign}\``, changes)
  }

  /** A word is missing before a value. */
  missingBeforeValue(word: string, { start, end }: Span): void {
    const changes = [{ span: this.span(start, start), text: `${word} ` }]
    const message = `\`${word}\` is missing before the value.`
    this.correctAt("incomplete", this.span(start, end), message, `Insert \`${word}\``, changes)
  }

  /** Two names in a list, or the two halves of one. */
  missingComma(name: Token, next: Token): void {
    const joined = `${name.text}_${next.text}`
    const after = this.span(name.end, name.end)
    this.#readAsMeant(
      "incomplete",
      this.spanOf(name),
      `A comma is missing between ${quoteToken(name)} and ${quoteToken(next)}.`,
      {
        help: `If they are one name, write it \`${joined}\`.`,
        edits: [
          { title: "Insert `,`", safe: false, changes: [{ span: after, text: "," }] },
          {
            title: `Write \`${joined}\``,
            safe: false,
            changes: [{ span: this.span(name.end, next.start), text: "_" }],
          },
        ],
      },
    )
  }

  /** Bare words where a text in quotes belongs; `isClosed`: the last of them is the closing quote. */
  missingQuotes(what: string, span: Span, isClosed: boolean): void {
    forgetStray(this.diagnostics, span)
    const message = isClosed ? `The ${what} has no opening quote.` : `The ${what} has no quotes.`
    const at = isClosed ? [span.start] : [span.start, span.end]
    const changes = at.map((offset) => ({ span: this.span(offset, offset), text: '"' }))
    const title = isClosed ? 'Open it with `"`' : "Insert quotes"
    this.correctAt("incomplete", span, message, title, changes, 'A text goes between `"` and `"`.')
  }

  wrongCase(token: Token): void {
    const message = `${excerpt(token.text)} has a capital letter; keywords have none.`
    this.correct("wrong-case", this.spanOf(token), message, `Write \`${token.key}\``, token.key)
  }

  misspelt(token: Token, meant: string): void {
    const message = `${excerpt(token.text)} isn't a keyword; \`${meant}\` is.`
    this.correct("misspelt", this.spanOf(token), message, `Write \`${meant}\``, meant)
  }

  /** Another word where the declaration's keyword belongs. */
  misspeltKeyword(token: Token): void {
    const { keyword } = this.spec
    const message = `${quoteToken(token)} doesn't begin a declaration; \`${keyword}\` does.`
    this.correct("misspelt", this.spanOf(token), message, `Write \`${keyword}\``, keyword)
  }

  reservedWord(token: Token): void {
    const message = `${excerpt(token.text)} is a keyword and can't be a name.`
    const help = `Choose another name, like \`the_${token.key}\`.`
    this.report("reserved-word", this.spanOf(token), message, { help })
  }

  /** Something between two tokens that belong together; they are read as if it weren't there. */
  needless(token: Token, before: Token, after: Token): void {
    const [left, right] = [before.end < token.start, token.end < after.start]
    const span = this.span(left && right ? before.end : token.start, token.end)
    const text = left || right ? "" : " "
    const message = `${quoteToken(token)} isn't needed here.`
    this.correctAt("unexpected", this.spanOf(token), message, "Remove it", [{ span, text }])
  }

  /** A number before the word that it belongs after: `2 times`. */
  reversed(number: Token, word: Token, meant: string): void {
    const span = this.span(number.start, word.end)
    const text = `${meant} ${number.text}`
    const message = `${excerpt(`${number.text} ${word.text}`)} is written \`${text}\`.`
    const edits = [{ title: `Write \`${text}\``, safe: false, changes: [{ span, text }] }]
    this.report("unexpected", span, message, { edits })
  }

  /** `"tab "half" off"`: three texts by their quotes, and one as it was meant. */
  quotesWithin({ start, end }: Token, rest: Token): void {
    const span = this.span(start, rest.end)
    const changes = [end - 1, rest.start].map((at) => ({ span: this.span(at, at), text: "\\" }))
    this.report("unexpected", span, "The text has quotes in it.", {
      help: 'Write a quote within a text as `\\"`.',
      edits: [{ title: 'Write `\\"`', safe: false, changes }],
    })
  }

  /** A clause that is given a second time; the first one counts. */
  doubled(words: string, here: Span, before: Span): void {
    this.report("doubled-clause", here, `\`${words}\` is given twice in this ${this.called}.`, {
      labels: [{ span: before, text: "first here" }],
      help: "Remove one of them.",
    })
  }
}

/** How a message names a token. */
export function quoteToken(token: Token): string {
  return excerpt(token.kind === "text" ? JSON.stringify(token.text) : token.text)
}
