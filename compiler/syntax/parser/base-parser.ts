import {
  type DSLMethodOpts,
  EmbeddedActionsParser,
  EOF,
  type IOrAlt,
  isRecognitionException,
  type TokenType,
} from "chevrotain"
import type { Span } from "../../diagnostics/diagnostic.ts"
import { nearest } from "../../diagnostics/suggest.ts"
import { openingsOf } from "../language/clause-starts.ts"
import { DECLARATIONS } from "../language/statements.ts"
import { meantBy } from "../language/synonyms.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import { RESERVED, VOCABULARY } from "../lexer/token-types.ts"
import { lackingBefore } from "../recovery/missing-words.ts"
import { DUE_AS_MESSAGE, Mistakes } from "../recovery/parse-errors.ts"

/** Thrown where the grammar cannot go on and what is wrong has been reported already. */
export const GIVE_UP = Symbol("give up")

/** Tokens that a look ahead goes at most: no declaration of a person's is longer. */
const FAR = 200

const NOTHING: Lexeme = {
  ...{ kind: "end", key: "", text: "", start: 0, end: 0, first: true },
  ...{ image: "", startOffset: 0, tokenType: EOF, tokenTypeIdx: EOF.tokenTypeIdx! },
}

/**
 * The parser library's parser, and what our grammar needs beside it: to mend a token before it is taken, and to go on
 * at the next clause after a mistake.
 *
 * Before a choice the grammar looks whether the next token is a slip for one of the words that may stand here. If so it
 * is reported, and the token becomes one of the kind that was meant; the choice is then the library's, as ever.
 */
export class Reader extends EmbeddedActionsParser {
  protected mistakes = new Mistakes("", [], DECLARATIONS[0]!, NOTHING)
  /** Words that begin a clause here: a name is missing, and no reserved word misused, where one of them stands. */
  protected clauseWords: readonly string[] = []
  private finish = NOTHING

  constructor(checked: boolean) {
    super(VOCABULARY, {
      maxLookahead: 2,
      skipValidations: !checked,
      errorMessageProvider: DUE_AS_MESSAGE,
    })
  }

  /** Makes ready for the tokens of one declaration. */
  protected begin(tokens: Lexeme[], mistakes: Mistakes): void {
    const { end } = tokens.at(-1)!
    this.finish = { ...NOTHING, start: end, end }
    this.mistakes = mistakes
    this.clauseWords = openingsOf(mistakes.spec).firstWords
    this.input = tokens
    const [keyword] = tokens
    if (keyword === undefined || keyword.key === mistakes.spec.keyword) return
    mistakes.notKeyword(keyword)
    const word = mistakes.spec.keyword
    this.become(keyword, RESERVED.get(word)!, word)
  }

  /** The `n`th token from here, the next one at first. */
  protected ahead(n = 1): Lexeme {
    const token = this.LA(n)
    return token.tokenType === EOF ? this.finish : (token as Lexeme)
  }

  protected get next(): Lexeme {
    return this.ahead()
  }

  /** The token just taken. */
  protected get last(): Lexeme {
    return this.ahead(0)
  }

  protected at(key: string): boolean {
    return this.next.key === key
  }

  /** From an offset to the end of what has been taken. */
  protected span(start: number): Span {
    return this.mistakes.span(start, this.last.end)
  }

  /** Takes a reserved word; a slip in it is reported and taken for it. */
  protected word(key: string, occurrence = 0): Lexeme {
    const type = RESERVED.get(key)!
    if (this.LA(1).tokenType !== type) this.ACTION(() => this.meant([key]))
    const token = this.consume(occurrence, type) as Lexeme
    if (token.text !== key && token.text?.toLowerCase() === key) this.mistakes.wrongCase(token)
    this.ACTION(() => this.dropMark())
    return token
  }

  /** `odds: 6`, `power=off`: a mark behind a word of the language, but for the colon of a rule without its name. */
  private dropMark(): void {
    const { next, last } = this
    if ((next.key !== ":" || last.key === "rule") && next.text !== "=") return
    this.dropNeedless()
  }

  /** Reports that the next token means nothing here, and passes over it. */
  protected dropNeedless(): void {
    this.mistakes.needless(this.next, this.last, this.ahead(2))
    this.SKIP_TOKEN()
  }

  /** Makes a token that is one of these words but for a slip into that word, and reports it. */
  protected meant(words: readonly string[], n = 1): boolean {
    const token = this.ahead(n)
    if (token.kind !== "word") return false
    const slip = token.key === "" ? nearest(token.text, words) : undefined
    const word = slip ?? meantBy(token.key || token.text, words)
    if (word === undefined) return false
    this.mistakes.misspelt(token, word)
    this.become(token, RESERVED.get(word)!, word)
    return true
  }

  /** Makes a token one of another kind; its text stays as typed. */
  protected become(token: Lexeme, type: TokenType, key = ""): void {
    token.key = key
    token.tokenType = type
    token.tokenTypeIdx = type.tokenTypeIdx!
  }

  /** Reads something; after a mistake in it, goes on at the next of some words, or right where it stands. */
  protected attempt(read: () => void, resume?: readonly string[]): void {
    try {
      read()
    } catch (thrown) {
      if (thrown !== GIVE_UP) {
        if (!isRecognitionException(thrown as Error)) throw thrown
        this.mistakes.explain(thrown as never, this.next, this.last, this.clauseWords)
      }
      this.mistakes.whole = false
      if (resume !== undefined) this.skipTo(resume)
    }
  }

  protected skipTo(words: readonly string[]): void {
    while (this.next.kind !== "end" && !words.includes(this.next.key)) this.SKIP_TOKEN()
  }

  /**
   * A loop over clauses, for `MANY`. Its gate reports what begins no clause and passes over it; each clause is read on
   * its own, so that a mistake in one leaves the others. A clause that stands twice is read into a copy that nobody
   * sees, for its own mistakes.
   */
  protected clauses<D>(into: D, alternatives: (into: D) => IOrAlt<void>[]): DSLMethodOpts<void> {
    const own = alternatives(into)
    const seen = new Map<string, Span>()
    const { signs } = this
    return {
      GATE: () => this.atClause(seen),
      DEF: () => {
        const { once, words, here } = this.clauseAhead()
        const before = seen.get(once)
        if (before !== undefined) this.ACTION(() => this.mistakes.doubled(words, here, before))
        else if (once !== "") seen.set(once, here)
        const all = before === undefined ? own : alternatives(structuredClone(into))
        this.attempt(() => this.OR(all), signs)
      },
    }
  }

  /** Words that surely begin a clause after a mistake too: `yes` and `one` may be values. */
  private get signs(): readonly string[] {
    return this.clauseWords.filter((word) => word !== "yes" && word !== "one")
  }

  private atClause(seen: ReadonlyMap<string, Span>): boolean {
    while (this.next.kind !== "end") {
      if (this.clauseWords.includes(this.next.key)) return true
      // `none, thin, thick`: no slip for `one`, but values.
      if (this.ahead(2).key !== "," && this.meant(this.clauseWords)) return true
      if (this.next.key === "," && this.clauseWords.includes(this.ahead(2).key)) {
        this.dropNeedless()
        continue
      }
      this.explainStrange(seen)
      if (this.next.kind !== "garbage") this.SKIP_TOKEN()
      this.skipTo(this.signs)
    }
    return false
  }

  private explainStrange(seen: ReadonlyMap<string, Span>): void {
    const { next, last, mistakes } = this
    const rest = this.ahead(2)
    if (last.kind === "text" && next.start === last.end && rest.kind === "text" && rest.start === next.end) {
      mistakes.quotesWithin(last, rest)
      return
    }
    if (
      next.kind === "number" &&
      /^(?:times?|x)$/.test(rest.text) &&
      openingsOf(mistakes.spec).byFirstWord.has("times")
    ) {
      mistakes.turned(next, rest, "times")
      this.SKIP_TOKEN()
      return
    }
    const lacking = lackingBefore(mistakes.spec.kind, next, rest)
    if (lacking === undefined || seen.has(openingsOf(mistakes.spec).onceOf(lacking)) || this.comes(lacking))
      mistakes.strange(next, this.ahead(-1).kind === "number" ? undefined : last)
    else mistakes.lacks(lacking, next)
  }

  /** The declaration goes on to a clause that begins like this. */
  private comes(words: string): boolean {
    const [first] = words.split(" ")
    for (let n = 2; n < FAR && this.ahead(n).kind !== "end"; n++) if (this.ahead(n).key === first) return true
    return false
  }

  /** The clause that begins here, and its words as far as they tell it from others. */
  private clauseAhead(): { once: string; words: string; here: Span } {
    const { next, mistakes } = this
    const specs = openingsOf(mistakes.spec).byFirstWord.get(next.key) ?? []
    // Two clauses begin with `fix`.
    const seconds = specs.length > 1 ? specs.map((each) => each.second) : []
    this.meant(seconds, 2)
    const second = this.ahead(2)
    const spec = specs.length > 1 ? specs.find((each) => each.second === second.key) : specs[0]
    mistakes.example = (spec ?? specs.at(-1))?.example ?? mistakes.spec.example
    if (spec === undefined) return { once: "", words: "", here: mistakes.spanOf(next) }
    if (specs.length === 1) return { once: spec.once, words: next.key, here: mistakes.spanOf(next) }
    return { once: spec.once, words: spec.words, here: mistakes.span(next.start, second.end) }
  }
}
