import {
  type Diagnostic,
  diagnostic,
  type Edit,
  type Label,
  type Span,
} from "../../diagnostics/diagnostic.ts"
import { quote } from "../../diagnostics/escape.ts"
import type { SyntaxCode } from "../codes.ts"
import type { DeclarationSpec } from "../language/statements.ts"
import type { Token } from "../lexer/lexer.ts"
import { forgetStray } from "./skipped-text.ts"

interface More {
  labels?: readonly Label[]
  help?: string | undefined
  edits?: readonly Edit[]
}

/** What is wrong with one declaration, and the slips of which it is clear what they mean: it is read as that. */
export class Slips {
  readonly file: string
  readonly diagnostics: Diagnostic[]
  /** What the declaration may hold, and an example of it. */
  readonly spec: DeclarationSpec
  /** The word that begins it. */
  readonly keyword: Span
  /** Nothing had to be left out. */
  whole = true
  /** Something was read as meant and not as typed. */
  mended = false
  /** The clause being read, as it would stand in a ruleset. */
  example: string

  constructor(file: string, diagnostics: Diagnostic[], spec: DeclarationSpec, keyword: Token) {
    this.file = file
    this.keyword = this.spanOf(keyword)
    this.diagnostics = diagnostics
    this.spec = spec
    this.example = spec.example
  }

  span(start: number, end: number): Span {
    return { file: this.file, start, end }
  }

  spanOf({ start, end }: Token): Span {
    return { file: this.file, start, end }
  }

  /** What costs the tree something. */
  report(code: SyntaxCode, span: Span, message: string, more: More = {}): void {
    this.whole = false
    this.diagnostics.push(diagnostic("error", code, span, message, more))
  }

  /** A slip whose meaning is clear; the text is read as meant, and the edit writes it so. */
  mend(code: SyntaxCode, span: Span, message: string, title: string, text: string, help?: string): void {
    this.change(code, span, message, title, [{ span, text }], help)
  }

  /** A small piece that is missing behind a token; it is taken as written. */
  insert(message: string, behind: Token, text: string): void {
    const changes = [{ span: this.span(behind.end, behind.end), text }]
    this.change("incomplete", this.spanOf(behind), message, `Put \`${text}\``, changes)
  }

  /** A word that is missing before something; it is taken as written. */
  insertBefore(word: string, { start, end }: Span): void {
    const changes = [{ span: this.span(start, start), text: `${word} ` }]
    const message = `\`${word}\` is missing before the value.`
    this.change("incomplete", this.span(start, end), message, `Put \`${word}\``, changes)
  }

  /** Two names in a list, or the two halves of one. */
  lacksComma(name: Token, next: Token): void {
    const message = `A comma is missing between ${quoteToken(name)} and ${quoteToken(next)}.`
    const between = this.span(name.end, next.start)
    const joined = `${name.text}_${next.text}`
    const edits = [
      { title: "Put `,`", safe: false, changes: [{ span: this.span(name.end, name.end), text: "," }] },
      { title: `Write \`${joined}\``, safe: false, changes: [{ span: between, text: "_" }] },
    ]
    this.readAs(
      "incomplete",
      this.spanOf(name),
      message,
      edits,
      `If they are one name, write it \`${joined}\`.`,
    )
  }

  /** Bare words where a text in quotes stands; `closed`: the last of them is the closing quote. */
  unquoted(what: string, span: Span, closed: boolean): void {
    forgetStray(this.diagnostics, span)
    const message = closed ? `The ${what} has no opening quote.` : `The ${what} stands without quotes.`
    const at = closed ? [span.start] : [span.start, span.end]
    const changes = at.map((offset) => ({ span: this.span(offset, offset), text: '"' }))
    const title = closed ? 'Open it with `"`' : "Put quotes"
    this.change("incomplete", span, message, title, changes, 'A text stands between `"` and `"`.')
  }

  /** As `mend`, with changes at several places. */
  change(
    code: SyntaxCode,
    span: Span,
    message: string,
    title: string,
    changes: Edit["changes"],
    help?: string,
  ): void {
    this.readAs(code, span, message, [{ title, safe: false, changes }], help)
  }

  private readAs(code: SyntaxCode, span: Span, message: string, edits: readonly Edit[], help?: string): void {
    this.mended = true
    this.diagnostics.push(diagnostic("error", code, span, message, { help, edits }))
  }

  wrongCase(token: Token): void {
    const message = `${quote(token.text)} has a capital letter; the words of the language have none.`
    this.mend("wrong-case", this.spanOf(token), message, `Write \`${token.key}\``, token.key)
  }

  misspelt(token: Token, meant: string): void {
    const message = `${quote(token.text)} is not a word of the language; \`${meant}\` is.`
    this.mend("misspelt", this.spanOf(token), message, `Write \`${meant}\``, meant)
  }

  notKeyword(token: Token): void {
    const { keyword } = this.spec
    const message = `${quoteToken(token)} begins no declaration; \`${keyword}\` does.`
    this.mend("misspelt", this.spanOf(token), message, `Write \`${keyword}\``, keyword)
  }

  /** What stands between two tokens that belong together; they are read as if it were not there. */
  needless(token: Token, before: Token, behind: Token): void {
    const [left, right] = [before.end < token.start, token.end < behind.start]
    const span = this.span(left && right ? before.end : token.start, token.end)
    const text = left || right ? "" : " "
    const message = `${quoteToken(token)} means nothing here.`
    this.change("unexpected", this.spanOf(token), message, "Take it out", [{ span, text }])
  }

  /** A number before the word that stands before it: `2 times`. */
  turned(number: Token, word: Token, meant: string): void {
    const span = this.span(number.start, word.end)
    const text = `${meant} ${number.text}`
    const message = `${quote(`${number.text} ${word.text}`)} is written \`${text}\`.`
    const edits = [{ title: `Write \`${text}\``, safe: false, changes: [{ span, text }] }]
    this.report("unexpected", span, message, { edits })
  }
}

/** How a message names a token. */
export function quoteToken(token: Token): string {
  return quote(token.kind === "text" ? JSON.stringify(token.text) : token.text)
}
