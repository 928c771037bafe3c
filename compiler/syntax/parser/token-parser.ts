import {
  EmbeddedActionsParser,
  EOF,
  type IOrAlt,
  type IParserErrorMessageProvider,
  type IRecognitionException,
  type IToken,
  isRecognitionException,
  type OrMethodOpts,
  type ParserMethod,
  type TokenType,
} from "chevrotain"
import type { Span } from "../../diagnostics/diagnostic.ts"
import { closest } from "../../diagnostics/suggest.ts"
import { at, last, lookUp } from "../../run/lookup.ts"
import { firstWords } from "../language/clause-starts.ts"
import { DECLARATIONS } from "../language/statements.ts"
import { meantBy } from "../language/synonyms.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import { numberOf, TOKEN_TYPES, WORD_TOKENS } from "../lexer/token-types.ts"
import { DeclarationProblems } from "../recovery/declaration-problems.ts"
import type { Unmet } from "../recovery/expected.ts"
import { explain } from "../recovery/explain.ts"

/** Thrown where the grammar cannot go on and what is wrong has been reported already. */
export const GIVE_UP = Symbol("give up")

const NOTHING: Lexeme = {
  ...{ kind: "end", key: "", text: "", start: 0, end: 0, first: true },
  ...{ image: "", startOffset: 0, tokenType: EOF, tokenTypeIdx: numberOf(EOF) },
}

/** Keeps what the library could not go on without; its messages are for those who write grammars. */
class UnmetExpectation implements IParserErrorMessageProvider {
  last: Unmet = {}

  buildMismatchTokenMessage({ expected }: { expected: TokenType }): string {
    const label = expected.LABEL ?? ""
    this.last = label.startsWith("`") ? { word: label } : {}
    return ""
  }

  buildNoViableAltMessage({ customUserDescription }: { customUserDescription?: string }): string {
    this.last = customUserDescription === undefined ? {} : { rule: customUserDescription }
    return ""
  }

  buildEarlyExitMessage(): string {
    this.last = {}
    return ""
  }

  buildNotAllInputParsedMessage(): string {
    return ""
  }
}

/** A rule of the grammar, as other rules use it. */
export type Rule<R, Args extends unknown[] = []> = ParserMethod<Args, R>

type Choice<R> = IOrAlt<R>[] | OrMethodOpts<R>

interface Guarded {
  readonly GATE: () => boolean
  readonly DEF: () => unknown
}

/**
 * The parser library's parser as the modules of the grammar use it, and what our grammar needs beside it: to correct a token before it is
 * taken, and to go on at the next clause after a mistake. The last argument of `use`, `take`, `choose`, `maybe` and `repeat` tells those apart that
 * stand in one rule for the same thing.
 *
 * Before a choice the grammar looks whether the next token is a misspelling of one of the words that can stand here. If so it
 * is reported, and the token becomes the one that was meant; the choice is then the library's, as ever.
 */
export class TokenParser extends EmbeddedActionsParser {
  /** Of the declaration that is being read. */
  problems = new DeclarationProblems("", [], at(DECLARATIONS, 0), NOTHING)
  /** Words that begin a clause here: a name is missing, and no reserved word misused, where one of them stands. */
  clauseWords: readonly string[] = []
  #finish = NOTHING
  readonly #unmet: UnmetExpectation

  /** `checked`: have the library look for ambiguities in the grammar. */
  constructor(checked: boolean) {
    const unmet = new UnmetExpectation()
    super(TOKEN_TYPES, { maxLookahead: 2, skipValidations: !checked, errorMessageProvider: unmet })
    this.#unmet = unmet
  }

  /** Adds a rule. The library keeps it under its name in the parser: it must not be called as one of our methods is. */
  rule<R, Args extends unknown[]>(name: string, read: (...args: Args) => R): Rule<R, Args> {
    return this.RULE(name, read) as Rule<R, Args>
  }

  use<R, Args extends unknown[]>(rule: Rule<R, Args>, args?: NoInfer<Args>, index = 0): R {
    return this.subrule(index, rule, args === undefined ? undefined : { ARGS: args }) as R
  }

  take(type: TokenType, index = 0): Lexeme {
    return this.consume(index, type) as Lexeme
  }

  choose<R>(alternatives: Choice<R>, index = 0): R {
    return this.or(index, alternatives as Choice<unknown>) as R
  }

  maybe<R>(read: (() => R) | { GATE: () => boolean; DEF: () => R }, index = 0): R | undefined {
    return this.option(index, read as () => R)
  }

  repeat(read: (() => unknown) | Guarded, index = 0): void {
    this.many(index, read as () => void)
  }

  /** Does what only makes sense with tokens at hand: the library runs each rule once without any, to learn the grammar. */
  act<R>(action: () => R): R {
    return this.ACTION(action)
  }

  skip(): void {
    this.SKIP_TOKEN()
  }

  /** After the last rule: the library studies the grammar. */
  seal(): void {
    this.performSelfAnalysis()
  }

  /** Reads the tokens of one declaration. */
  run<R>(rule: Rule<R>, tokens: Lexeme[], problems: DeclarationProblems): R {
    this.#begin(tokens, problems)
    return rule.call(this)
  }

  #begin(tokens: Lexeme[], problems: DeclarationProblems): void {
    const { end } = last(tokens)
    this.#finish = { ...NOTHING, start: end, end }
    this.problems = problems
    this.clauseWords = firstWords(problems.spec)
    this.input = tokens as IToken[]
    const [keyword] = tokens
    if (keyword === undefined || keyword.key === problems.spec.keyword) return
    problems.misspeltKeyword(keyword)
    const word = problems.spec.keyword
    become(keyword, lookUp(WORD_TOKENS, word), word)
  }

  /** The `n`th token from here, the next one at first. */
  ahead(n = 1): Lexeme {
    const token = this.LA(n)
    return token.tokenType === EOF ? this.#finish : (token as Lexeme)
  }

  get next(): Lexeme {
    return this.ahead()
  }

  /** The token just taken. */
  get last(): Lexeme {
    return this.ahead(0)
  }

  at(key: string): boolean {
    return this.next.key === key
  }

  /** From an offset to the end of what has been taken. */
  spanFrom(start: number): Span {
    return this.problems.span(start, this.last.end)
  }

  /** Takes a word of the language; a misspelling of it is reported and taken for it. */
  word(key: string, index = 0): Lexeme {
    const type = lookUp(WORD_TOKENS, key)
    if (this.LA(1).tokenType !== type) this.act(() => this.correctWord([key]))
    const token = this.take(type, index)
    if (token.text !== key && token.text?.toLowerCase() === key) this.problems.wrongCase(token)
    this.act(() => this.#dropMark())
    return token
  }

  /** `odds: 6`, `power=off`: a mark after a word of the language, but for the colon of a rule without its name. */
  #dropMark(): void {
    const { next, last } = this
    if ((next.key !== ":" || last.key === "rule") && next.text !== "=") return
    this.dropNeedless()
  }

  /** Reports that the next token isn't needed, and passes over it. */
  dropNeedless(): void {
    this.problems.needless(this.next, this.last, this.ahead(2))
    this.skip()
  }

  /** Makes a token that is a misspelling of one of these words into that word, and reports it. */
  correctWord(words: readonly string[], n = 1): boolean {
    const token = this.ahead(n)
    if (token.kind !== "word") return false
    const misspelt = token.key === "" ? closest(token.text, words) : undefined
    const word = misspelt ?? meantBy(token.key || token.text, words)
    if (word === undefined) return false
    this.problems.misspelt(token, word)
    become(token, lookUp(WORD_TOKENS, word), word)
    return true
  }

  /** Reads something; after a mistake in it, goes on at the next of some words, or right where it stands. */
  attempt(read: () => void, resume?: readonly string[]): void {
    try {
      read()
    } catch (thrown) {
      if (thrown !== GIVE_UP) {
        if (!isRecognitionException(thrown as Error)) throw thrown
        const { problems, next, last, clauseWords } = this
        const unmet = this.#unmet
        explain(problems, thrown as IRecognitionException, unmet.last, next, last, clauseWords)
      }
      this.problems.isWhole = false
      if (resume !== undefined) this.skipTo(resume)
    }
  }

  skipTo(words: readonly string[]): void {
    while (this.next.kind !== "end" && !words.includes(this.next.key)) this.skip()
  }
}

/** Makes a token one of another kind; its text stays as typed. */
export function become(token: Lexeme, type: TokenType, key = ""): void {
  token.key = key
  token.tokenType = type
  token.tokenTypeIdx = numberOf(type)
}
