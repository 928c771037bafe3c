import type { IParserErrorMessageProvider, IRecognitionException } from "chevrotain"
import type { SyntaxCode } from "./codes.ts"
import { dueIn, exampleIn, OF_NAMES, whatIsDue } from "./due.ts"
import { type Edit, type Finding, finding, type Label, type Span } from "./finding.ts"
import { type DeclarationSpec, KEYWORDS } from "./language.ts"
import { quote } from "./quote.ts"
import type { Token } from "./tokens.ts"
import { forgetStray } from "./unreadable.ts"

interface More {
  labels?: readonly Label[]
  help?: string | undefined
  edits?: readonly Edit[]
}

/**
 * What is wrong with one declaration, and how it is said. Some of it the grammar finds as it reads what is clear
 * though wrong (`mend`); the rest are the exceptions of the parser library (`explain`).
 */
export class Mistakes {
  readonly file: string
  readonly findings: Finding[]
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

  constructor(file: string, findings: Finding[], spec: DeclarationSpec, keyword: Token) {
    this.file = file
    this.keyword = this.spanOf(keyword)
    this.findings = findings
    this.spec = spec
    this.example = spec.example
  }

  span(start: number, end: number): Span {
    return { file: this.file, start, end }
  }

  spanOf({ start, end }: Token): Span {
    return { file: this.file, start, end }
  }

  /** The kind of declaration as a message calls it: `part`. */
  private get called(): string {
    const { kind } = this.spec
    if (kind === "told") return "told question"
    return kind === "use" || kind === "never" ? `\`${kind}\`` : kind
  }

  /** What costs the tree something. */
  report(code: SyntaxCode, span: Span, message: string, more: More = {}): void {
    this.whole = false
    this.findings.push(finding("error", code, span, message, more))
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

  /** Two names in a list, or the two halves of one. */
  lacksComma(name: Token, next: Token): void {
    const message = `A comma is missing between ${quoteToken(name)} and ${quoteToken(next)}.`
    const between = this.span(name.end, next.start)
    const joined = `${name.text}_${next.text}`
    this.mended = true
    this.report("incomplete", this.spanOf(name), message, {
      help: `If they are one name, write it \`${joined}\`.`,
      edits: [
        { title: "Put `,`", safe: false, changes: [{ span: this.span(name.end, name.end), text: "," }] },
        { title: `Write \`${joined}\``, safe: false, changes: [{ span: between, text: "_" }] },
      ],
    })
  }

  /** Bare words where a text in quotes stands; `closed`: the last of them is the closing quote. */
  unquoted(what: string, span: Span, closed: boolean): void {
    forgetStray(this.findings, span)
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
    this.mended = true
    this.findings.push(
      finding("error", code, span, message, { help, edits: [{ title, safe: false, changes }] }),
    )
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

  reserved(token: Token): void {
    const message = `${quote(token.text)} is a word of the language and cannot be a name.`
    const help = `Choose another name, like \`the_${token.key}\`.`
    this.report("reserved-word", this.spanOf(token), message, { help })
  }

  /** The words that a clause lacks before what it is about. */
  lacks(words: string, token: Token): void {
    const message = `\`${words}\` is missing before ${quoteToken(token)}.`
    this.report("incomplete", this.spanOf(token), message, { edits: [this.putBefore(words, token)] })
  }

  private putBefore(text: string, { start }: Token): Edit {
    const changes = [{ span: this.span(start, start), text: `${text} ` }]
    return { title: `Put \`${text}\``, safe: false, changes }
  }

  /** A mark between what belongs together; what follows is read as if it were not there. */
  needless(token: Token): void {
    const message = `${quoteToken(token)} means nothing here.`
    this.mend("unexpected", this.spanOf(token), message, "Take it out", "")
  }

  /** `"tab "half" off"`: three texts by their quotes, and one as it was meant. */
  quotesWithin({ start, end }: Token, rest: Token): void {
    const span = this.span(start, rest.end)
    const changes = [end - 1, rest.start].map((at) => ({ span: this.span(at, at), text: "\\" }))
    this.report("unexpected", span, "The text has quotes within it.", {
      help: 'Within a text a quote is written `\\"`.',
      edits: [{ title: 'Write `\\"` within', safe: false, changes }],
    })
  }

  /** A token that begins no clause of this declaration. */
  strange(token: Token): void {
    this.whole = false
    if (token.kind === "garbage") return
    const kind = `${/^[aeiou]/.test(this.called) ? "an" : "a"} ${this.called}`
    const may = this.spec.clauses.map(({ words }) => `\`${words}\``).join(", ")
    const help = may === "" ? `Nothing more belongs to ${kind}.` : `What may stand here: ${may}.`
    const isElsewhere = token.kind === "word" && token.key !== ""
    const verdict = isElsewhere ? "does not belong here" : "means nothing here"
    const message = `${quoteToken(token)} ${verdict} in ${kind}.`
    const changes = [{ span: this.spanOf(token), text: "yes or no" }]
    const edits =
      YES_OR_NO.test(token.text) && may.includes("yes or no")
        ? [{ title: "Write `yes or no`", safe: false, changes }]
        : []
    this.report("unexpected", this.spanOf(token), message, { help, edits })
  }

  /** A clause that stands a second time; the first one counts. */
  doubled(words: string, here: Span, before: Span): void {
    this.report("doubled-clause", here, `\`${words}\` stands twice in this ${this.called}.`, {
      labels: [{ span: before, text: "here for the first time" }],
      help: "Take one of them out.",
    })
  }

  /** Says why the grammar could not go on: what was due at a token, and how it would be written. */
  explain(thrown: IRecognitionException, token: Token, last: Token, clauseWords: readonly string[]): void {
    this.whole = false
    // It has been reported by its characters.
    if (token.kind === "garbage") return
    const { message, context } = thrown
    const isKeyword = message.startsWith("`")
    const rules = isKeyword ? context.ruleStack : [...context.ruleStack, message]
    const rule = dueIn(rules)
    const isReserved = token.kind === "word" && token.key !== "" && !clauseWords.includes(token.key)
    if (rule === "subject" && isReserved) this.valueAlone(token)
    else if (rule === "value" && (token.kind === "number" || token.kind === "text")) this.valueIsWord(token)
    else {
      const what = isKeyword ? message : whatIsDue(rule, this.spec)
      const edits = this.editsFor(isKeyword, message, rule, token)
      this.missing(what, exampleIn(rules) ?? this.example, token, last, edits)
    }
  }

  /** What puts in, or mends, the one thing that is due at a token; nothing where that is not clear. */
  private editsFor(isKeyword: boolean, due: string, rule: string | undefined, token: Token): Edit[] {
    if (isKeyword && token.kind === "number") return [this.putBefore(due.replaceAll("`", ""), token)]
    if (token.kind !== "text") return []
    const name = asName(token.text)
    if (name === "" || KEYWORDS.includes(name)) return []
    if (rule === "newName") return [this.putBefore(name, token)]
    if (name !== token.text || !OF_NAMES.has(rule ?? "")) return []
    const changes = [{ span: this.spanOf(token), text: name }]
    return [{ title: "Take the quotes away", safe: false, changes }]
  }

  /** Nothing stands, or something else, where something is due. */
  private missing(what: string, example: string, token: Token, last: Token, edits: Edit[]): void {
    const help = `Write it like \`${example}\`.`
    const isBound = token.key !== "" || token.kind === "end" || (token.first && token.kind !== "text")
    if (isBound) {
      const message = `${what[0]!.toUpperCase()}${what.slice(1)} is missing behind ${quoteToken(last)}.`
      this.report("incomplete", this.spanOf(last), message, { help, edits })
    } else {
      const message = `${quoteToken(token)} stands where ${what} is due.`
      this.report("unexpected", this.spanOf(token), message, { help, edits })
    }
  }

  /** `glow is yes or no`: a value where the reading is due. */
  private valueAlone(token: Token): void {
    this.report("unexpected", this.spanOf(token), `${quote(token.text)} stands where a reading is due.`, {
      help: "Each comparison names its reading, like `glow is yes or glow is no`.",
    })
  }

  private valueIsWord(token: Token): void {
    const message = `${quoteToken(token)} stands where a value is due, and a value is one word.`
    const isNumber = token.kind === "number"
    const help = "Compare a number with `below`, `above`, `at least`, `at most`, `between` or `outside`."
    this.report("unexpected", this.spanOf(token), message, isNumber ? { help } : {})
  }
}

/** How a question's two answers are often written. */
const YES_OR_NO = /^(?:yes\/no|no\/yes|y\/n)$/i

/** A name made of the words of a label; empty where that gives none. */
function asName(label: string): string {
  const plain = label.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase()
  const words = plain.replace(/[^a-z0-9]+/g, "_").replace(/^[0-9_]+|_+$/g, "")
  return words.length <= 40 ? words : words.slice(0, 40).replace(/_[^_]*$/, "")
}

/** How a message names a token. */
export function quoteToken(token: Token): string {
  return quote(token.kind === "text" ? JSON.stringify(token.text) : token.text)
}

/**
 * What an exception of the parser library is given to carry in place of a message: the keyword or mark that was due, in
 * backticks; or the name of the rule that was, where the grammar gives it; or nothing.
 */
export const DUE_AS_MESSAGE: IParserErrorMessageProvider = {
  buildMismatchTokenMessage: ({ expected }) => expected.LABEL ?? "",
  buildNoViableAltMessage: ({ customUserDescription }) => customUserDescription ?? "",
  buildEarlyExitMessage: ({ customUserDescription }) => customUserDescription ?? "",
  buildNotAllInputParsedMessage: () => "",
}
