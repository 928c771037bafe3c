import type { IParserErrorMessageProvider, IRecognitionException } from "chevrotain"
import type { Edit, Span } from "../../diagnostics/diagnostic.ts"
import { quote } from "../../diagnostics/escape.ts"
import type { Token } from "../lexer/lexer.ts"
import { dueIn, exampleIn, whatIsDue } from "./expected.ts"
import { offersAt, offersFor, putBefore } from "./quick-fixes.ts"
import { quoteToken, Slips } from "./read-as-meant.ts"

/**
 * What is wrong with one declaration, and how it is said. Some of it the grammar finds as it reads what is clear
 * though wrong (`mend`); the rest are the exceptions of the parser library (`explain`).
 */
export class Mistakes extends Slips {
  /** The kind of declaration as a message calls it: `part`. */
  private get called(): string {
    const { kind } = this.spec
    if (kind === "told") return "told question"
    return kind === "use" || kind === "never" ? `\`${kind}\`` : kind
  }

  reserved(token: Token): void {
    const message = `${quote(token.text)} is a word of the language and cannot be a name.`
    const help = `Choose another name, like \`the_${token.key}\`.`
    this.report("reserved-word", this.spanOf(token), message, { help })
  }

  /** The words that a clause lacks before what it is about. */
  lacks(words: string, token: Token): void {
    const message = `\`${words}\` is missing before ${quoteToken(token)}.`
    this.report("incomplete", this.spanOf(token), message, { edits: [putBefore(words, this.file, token)] })
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

  /** A token that begins no clause of this declaration, behind the last one unless that is a unit. */
  strange(token: Token, last: Token | undefined): void {
    this.whole = false
    if (token.kind === "garbage") return
    const kind = `${/^[aeiou]/.test(this.called) ? "an" : "a"} ${this.called}`
    const words = this.spec.clauses.map((clause) => clause.words)
    const may = words.map((each) => `\`${each}\``).join(", ")
    const { name, edits } = offersAt(this.file, token, last, words)
    const others = may === "" ? `Nothing more belongs to ${kind}.` : `What may stand here: ${may}.`
    const help = name === undefined ? others : `If it goes with the word before, write \`${name}\`. ${others}`
    const isElsewhere = token.kind === "word" && token.key !== ""
    const verdict = isElsewhere ? "does not belong here" : "means nothing here"
    this.report("unexpected", this.spanOf(token), `${quoteToken(token)} ${verdict} in ${kind}.`, {
      help,
      edits,
    })
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
      const edits = offersFor(message, rule, this.file, token)
      this.missing(what, exampleIn(rules) ?? this.example, token, last, edits)
    }
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
