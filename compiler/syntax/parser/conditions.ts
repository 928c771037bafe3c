import { quote } from "../../diagnostics/escape.ts"
import { isComparing, SYMBOLS } from "../language/comparisons.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Condition, Name } from "../syntax-tree.ts"
import { GIVE_UP } from "./base-parser.ts"
import { Relations } from "./comparisons.ts"

/** Parentheses and `not` within each other; nobody reads more, and a stack has an end. */
export const MOST_NESTED = 200

/**
 * Conditions. `bare`: as in `shows` and `normally`, where the reading stands before the condition and is not named in
 * it. `and` and `or` in a row are one item with many parts; parentheses that change nothing are dropped.
 */
export class Conditions extends Relations {
  protected condition = this.RULE("condition", (bare = false): Condition => {
    const condition = this.SUBRULE(this.disjunction, { ARGS: [bare, 0] })
    this.MANY(() => {
      const token = this.CONSUME(T.Close) as Lexeme
      this.ACTION(() => this.unopened(token))
    })
    return condition
  })

  private disjunction = this.RULE("disjunction", (bare: boolean, depth: number): Condition => {
    const { start } = this.next
    const items = [this.SUBRULE(this.conjunction, { ARGS: [bare, depth] })]
    this.MANY({
      GATE: () => this.atJoint("or"),
      DEF: () => {
        this.word("or")
        items.push(this.SUBRULE1(this.conjunction, { ARGS: [bare, depth] }))
      },
    })
    return this.joined("or", items, start)
  })

  private conjunction = this.RULE("conjunction", (bare: boolean, depth: number): Condition => {
    const { start } = this.next
    const items = [this.SUBRULE(this.term, { ARGS: [bare, depth] })]
    this.MANY({
      GATE: () => this.atJoint("and"),
      DEF: () => {
        this.word("and")
        items.push(this.SUBRULE1(this.term, { ARGS: [bare, depth] }))
      },
    })
    return this.joined("and", items, start)
  })

  private term = this.RULE("term", (bare: boolean, depth: number): Condition => {
    const { start } = this.next
    this.ACTION(() => this.mendTerm(bare, depth))
    return this.OR<Condition>({
      ERR_MSG: bare ? "relation" : "subject",
      DEF: [
        {
          ALT: () => {
            this.word("not")
            const item = this.SUBRULE(this.term, { ARGS: [bare, depth + 1] })
            return { kind: "not", item, span: this.span(start) }
          },
        },
        {
          ALT: () => {
            const open = this.CONSUME(T.Open) as Lexeme
            const inner = this.SUBRULE(this.disjunction, { ARGS: [bare, depth + 1] })
            if (this.OPTION(() => this.CONSUME(T.Close)) === undefined) this.ACTION(() => this.unclosed(open))
            return inner
          },
        },
        {
          GATE: () => !bare,
          ALT: () => {
            const reading = this.SUBRULE(this.subject)
            const relation = this.SUBRULE(this.relation)
            return { kind: "compare", reading, ...relation, span: this.span(start) }
          },
        },
        {
          GATE: () => bare,
          ALT: () => {
            const relation = this.SUBRULE1(this.relation)
            return { kind: "compare", ...relation, span: this.span(start) }
          },
        },
      ],
    })
  })

  /** The reading of a comparison. */
  private subject = this.RULE("subject", (): Name => this.SUBRULE(this.name))

  private joined(kind: "and" | "or", items: readonly Condition[], start: number): Condition {
    if (items.length === 1) return items[0]!
    const flat = items.flatMap((item) => (item.kind === kind ? item.items : [item]))
    return { kind, items: flat, span: this.span(start) }
  }

  /** `and` or `or` comes, perhaps as the symbol that other languages have for it. */
  private atJoint(word: "and" | "or"): boolean {
    const { next } = this
    if (next.key !== "") return next.key === word
    if (SYMBOLS[next.text] === word) this.mendSymbol(word)
    // `adn`: only where a comparison or a parenthesis could follow, since anything else may begin a clause.
    else if (word === "and" && this.ahead(2).kind === "word") this.meant(["and"])
    return this.at(word)
  }

  protected mendTerm(bare: boolean, depth: number): void {
    const { next } = this
    if (next.kind === "symbol" && next.text === "!") this.mendSymbol("not")
    if (depth >= MOST_NESTED && (this.at("not") || this.at("("))) {
      const message = `${quote(next.text)} stands within ${MOST_NESTED} others.`
      const help = "Split the condition into several rules."
      this.mistakes.report("too-deep", this.mistakes.spanOf(next), message, { help })
      throw GIVE_UP
    }
    const isNamed = next.kind === "word" && isComparing(this.ahead(2))
    if (bare && isNamed && next.key === "") this.namedAgain()
    if (bare) this.mendRelation()
    else if (isNamed && next.key !== "not") this.mendReserved()
  }

  private namedAgain(): void {
    const { next } = this
    const message = `The reading is named again as ${quote(next.text)}.`
    const help = "The condition goes on about the reading named before."
    this.mistakes.mend("unexpected", this.mistakes.spanOf(next), message, "Take it out", "", help)
    this.SKIP_TOKEN()
  }

  private unopened(token: Lexeme): void {
    const span = this.mistakes.spanOf(token)
    this.mistakes.mend("unpaired-parenthesis", span, "`)` has no `(` before it.", "Take it out", "")
  }

  private unclosed(open: Lexeme): void {
    const { last, next } = this
    if (next.kind === "garbage") throw GIVE_UP
    this.mistakes.report("unpaired-parenthesis", this.mistakes.spanOf(open), "`(` has no `)`.", {
      labels: [{ span: this.mistakes.spanOf(last), text: "`)` is due behind this" }],
      edits: [
        {
          title: "Put `)`",
          safe: false,
          changes: [{ span: this.mistakes.span(last.end, last.end), text: ")" }],
        },
      ],
    })
  }
}
