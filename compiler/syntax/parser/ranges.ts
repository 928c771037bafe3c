import { quote } from "../../diagnostics/escape.ts"
import { COMPARING } from "../language/comparisons.ts"
import { meantBy } from "../language/synonyms.ts"
import type { Token } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import { Terms } from "./terms.ts"

/** Comparisons of numbers as they are spoken or printed: `5–10 V`, `from 5 to 10 V`, `is less than 5 V`. */
export class Ranges extends Terms {
  /** The `and` of the range mended last, which is met again on the way to its numbers. */
  private mendedAnd: Token | undefined

  /** Two numbers follow, with a dash, `to` or `and` between them. */
  protected atRange(): boolean {
    return this.rangeAt() > 0
  }

  /** How far ahead what stands between the two numbers of a range is; 0 where there is none. */
  private rangeAt(): number {
    if (this.next.kind !== "number") return 0
    let n = 2
    // `7,5`
    if (this.ahead(n).key === "," && this.ahead(n + 1).kind === "number") n += 2
    if (this.ahead(n).kind === "word" && !this.isBetween(n)) n++
    return this.isBetween(n) && this.ahead(n + 1).kind === "number" ? n : 0
  }

  private isBetween(n: number): boolean {
    const { key, tokenType } = this.ahead(n)
    return key === "to" || key === "and" || tokenType === T.Dash
  }

  /** `5–10`, where a comparison is due. */
  private mendRange(): void {
    const n = this.rangeAt()
    const and = this.ahead(n)
    if (n === 0 || and === this.mendedAnd) return
    const [low, before, high] = [this.next, this.ahead(n - 1), this.ahead(n + 1)]
    const changes = [
      { span: this.mistakes.span(low.start, low.start), text: "between " },
      { span: this.mistakes.span(before.end, high.start), text: " and " },
    ]
    const span = this.mistakes.span(low.start, high.end)
    const message = "A range is written `between … and …`."
    this.mistakes.change("symbol", span, message, "Write `between … and …`", changes)
    this.become(and, T.RESERVED.get("and")!, "and")
    this.mendedAnd = and
  }

  /** A dash or another word where the word between two numbers stands. */
  protected mendBetween(word: "and" | "to"): void {
    const { next } = this
    if (next.key === word || !this.isBetween(1) || this.ahead(2).kind !== "number") return
    const span = this.mistakes.span(this.last.end, this.ahead(2).start)
    const message = `Between the two numbers stands \`${word}\`, not ${quote(next.text || "–")}.`
    this.mistakes.mend("symbol", span, message, `Write \`${word}\``, ` ${word} `)
    this.become(next, T.RESERVED.get(word)!, word)
  }

  /** Words about a comparison that are none of it: `is` before it, `than` behind it, `from` for `between`. */
  protected mendSpoken(): void {
    this.mendIs()
    this.mendRange()
    const { next } = this
    const second = this.ahead(2)
    if (next.key === "from" && second.kind === "number") this.mendFrom()
    const word = second.text === "than" ? meantBy(next.text, COMPARING) : undefined
    if (word === undefined) return
    const span = this.mistakes.span(next.start, second.end)
    const message = `${quote(`${next.text} than`)} is written \`${word}\`.`
    this.mistakes.mend("symbol", span, message, `Write \`${word}\``, word)
    this.SKIP_TOKEN()
    this.become(second, T.RESERVED.get(word)!, word)
  }

  /** `is at least 5 V`. Values may be called `at` or `below`, so that what follows must be a number that is none's percentage. */
  private mendIs(): void {
    const { next } = this
    if (next.key !== "is") return
    const [second, third] = [this.ahead(2), this.ahead(3)]
    const isLimit = second.key === "at" && (third.key === "least" || third.key === "most")
    const isOther =
      COMPARING.slice(1).includes(second.key) && third.kind === "number" && this.ahead(4).key !== "%"
    if (!isLimit && !isOther && third.text !== "than") return
    const span = this.mistakes.span(next.start, second.start)
    const message = "`is` goes with a value; a number is compared without it."
    this.mistakes.mend("unexpected", span, message, "Take it out", "")
    this.SKIP_TOKEN()
  }

  private mendFrom(): void {
    const { next } = this
    const span = this.mistakes.spanOf(next)
    this.mistakes.mend("symbol", span, "`from` is written `between` here.", "Write `between`", "between")
    this.become(next, T.RESERVED.get("between")!, "between")
  }
}
