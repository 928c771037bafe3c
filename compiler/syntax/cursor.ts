import { type Edit, type Finding, finding, type Label, type Span } from "./finding.ts"
import type { DeclarationSpec } from "./language.ts"
import { nearest } from "./nearest.ts"
import { quote } from "./quote.ts"
import type { Token } from "./tokens.ts"

/** Thrown where a clause cannot go on; what is wrong has been reported then, and the next clause is sought. */
export const GIVE_UP = Symbol("give up this clause")

/**
 * Walks over the tokens of one declaration. The methods that take something return it, or report what is missing and
 * give up; `whole` tells whether anything had to be left out.
 */
export class Cursor {
  readonly file: string
  readonly findings: Finding[]
  readonly tokens: readonly Token[]
  /** What the declaration may hold, and an example of it. */
  readonly spec: DeclarationSpec
  /** Words that begin a clause here: a name is missing, and no reserved word misused, where one of them stands. */
  clauseWords: readonly string[] = []
  whole = true
  /** Something was read as meant and not as typed. */
  mended = false
  protected i: number
  private readonly start: number
  private readonly limit: number
  private readonly finish: Token

  constructor(
    file: string,
    findings: Finding[],
    tokens: readonly Token[],
    start: number,
    limit: number,
    spec: DeclarationSpec,
  ) {
    this.file = file
    this.findings = findings
    this.tokens = tokens
    this.spec = spec
    this.i = start
    this.start = start
    this.limit = limit
    const at = tokens[limit - 1]?.end ?? 0
    this.finish = { kind: "end", key: "", text: "", start: at, end: at, first: true }
  }

  /** The kind of declaration as a message calls it: `part`. */
  get called(): string {
    const { kind } = this.spec
    return kind === "use" || kind === "never" ? `\`${kind}\`` : kind
  }

  get token(): Token {
    return this.i < this.limit ? this.tokens[this.i]! : this.finish
  }

  get done(): boolean {
    return this.i >= this.limit
  }

  /** The token `n` further on. */
  ahead(n: number): Token {
    return this.i + n < this.limit ? this.tokens[this.i + n]! : this.finish
  }

  /** The token just taken. */
  get last(): Token {
    return this.tokens[Math.max(this.i - 1, this.start)]!
  }

  take(): Token {
    const token = this.token
    if (this.i < this.limit) this.i++
    return token
  }

  span(start: number, end = this.last.end): Span {
    return { file: this.file, start, end }
  }

  /** The word that begins the declaration. */
  get keywordToken(): Token {
    return this.tokens[this.start]!
  }

  quoted(token: Token): string {
    return quoteToken(token)
  }

  spanOf(token: Token): Span {
    return { file: this.file, start: token.start, end: token.end }
  }

  report(
    code: string,
    span: Span,
    message: string,
    more: { labels?: readonly Label[]; help?: string | undefined; edits?: readonly Edit[] } = {},
  ): void {
    this.findings.push(finding("error", code, span, message, more))
  }

  /** Reports a slip whose meaning is clear; the text is read as meant, and `edit` writes it so. */
  mend(code: string, span: Span, message: string, title: string, text: string, help?: string): void {
    this.mended = true
    this.report(code, span, message, { help, edits: [{ title, safe: false, changes: [{ span, text }] }] })
  }

  /** Reports that a small piece is missing behind the last token; it is taken as written. */
  insert(message: string, text: string): void {
    const { end } = this.last
    this.mended = true
    const changes = [{ span: this.span(end, end), text }]
    this.report("incomplete", this.spanOf(this.last), message, {
      edits: [{ title: `Put \`${text}\``, safe: false, changes }],
    })
  }

  /** Reports bare words where a text in quotes stands. */
  unquoted(span: Span, what: string): void {
    this.mended = true
    const { start, end } = span
    const changes = [start, end].map((at) => ({ span: this.span(at, at), text: '"' }))
    this.report("incomplete", span, `The ${what} stands without quotes.`, {
      help: 'A text stands between `"` and `"`.',
      edits: [{ title: "Put quotes", safe: false, changes }],
    })
  }

  /** Reports that `what` is missing here, or that something else stands in its place, and gives up the clause. */
  missing(what: string, example: string): never {
    this.complain(what, example)
    throw GIVE_UP
  }

  /** As `missing`, but the clause can go on. */
  complain(what: string, example: string): void {
    const { token, last } = this
    this.whole = false
    if (token.kind === "garbage") return
    const help = example === "" ? undefined : `Write it like \`${example}\`.`
    const isBound = token.key !== "" || token.kind === "end" || (token.first && token.kind !== "text")
    if (isBound) {
      this.report(
        "incomplete",
        this.spanOf(last),
        `${what[0]!.toUpperCase()}${what.slice(1)} is missing behind ${quoteToken(last)}.`,
        { help },
      )
    } else {
      this.report("unexpected", this.spanOf(token), `${quoteToken(token)} stands where ${what} is due.`, {
        help,
      })
    }
  }

  at(key: string): boolean {
    return this.token.key === key
  }

  /** Takes the keyword or mark if it stands here. */
  accept(key: string): boolean {
    const token = this.token
    if (token.key !== key) return false
    if (token.text !== key) this.smallLetters(token)
    this.i++
    return true
  }

  private smallLetters(token: Token): void {
    const span = this.spanOf(token)
    this.mend(
      "wrong-case",
      span,
      `${quote(token.text)} has a capital letter; the words of the language have none.`,
      `Write \`${token.key}\``,
      token.key,
    )
  }

  /** Takes the keyword; a slip in it is reported and taken for it. */
  keyword(key: string, example: string): void {
    if (this.accept(key) || this.slip([key]) !== undefined) return
    this.missing(`\`${key}\``, example)
  }

  /** Takes a word that is one of `keys` but for a slip, reports it, and returns which. */
  slip(keys: readonly string[]): string | undefined {
    const token = this.token
    if (token.kind !== "word" || token.key !== "") return undefined
    const meant = nearest(token.text, keys)
    if (meant === undefined) return undefined
    const message = `${quote(token.text)} is not a word of the language; \`${meant}\` is.`
    this.mend("misspelt", this.spanOf(token), message, `Write \`${meant}\``, meant)
    this.i++
    return meant
  }

  /** Reports that the token here begins no clause of this declaration, and gives up. */
  strange(): never {
    const { token } = this
    this.whole = false
    if (token.kind === "garbage") throw GIVE_UP
    const kind = `${/^[aeiou]/.test(this.called) ? "an" : "a"} ${this.called}`
    const may = this.spec.clauses.map(({ words }) => `\`${words}\``).join(", ")
    const help = may === "" ? `Nothing more belongs to ${kind}.` : `What may stand here: ${may}.`
    const elsewhere = token.kind === "word" && token.key !== ""
    const message = elsewhere
      ? `${quoteToken(token)} does not belong here in ${kind}.`
      : `${quoteToken(token)} means nothing here in ${kind}.`
    this.report("unexpected", this.spanOf(token), message, { help })
    this.i++
    throw GIVE_UP
  }

  /** Reports a clause that stands a second time; the first one counts. */
  doubled(words: string, here: Span, before: Span): void {
    this.whole = false
    this.report("doubled-clause", here, `\`${words}\` stands twice in this ${this.called}.`, {
      labels: [{ span: before, text: "here for the first time" }],
      help: "Take one of them out.",
    })
  }

  /** Goes on to the next of the keys, without a word. */
  skipTo(keys: readonly string[]): void {
    while (!this.done && !keys.includes(this.token.key)) this.i++
  }
}

/** How a message names a token. */
export function quoteToken(token: Token): string {
  return quote(token.kind === "text" ? JSON.stringify(token.text) : token.text)
}
