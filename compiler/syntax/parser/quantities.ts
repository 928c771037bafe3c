import type { Span } from "../../diagnostics/diagnostic.ts"
import { quote } from "../../diagnostics/escape.ts"
import { nearest } from "../../diagnostics/suggest.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import { quoteToken } from "../recovery/read-as-meant.ts"
import type { Name, Quantity } from "../syntax-tree.ts"
import { Texts } from "./texts.ts"

/** Numbers, with a unit or `%` or without. The rules also take how they are often written, where it is clear what is meant. */
export class Quantities extends Texts {
  private number = this.RULE("number", (): Quantity => {
    const token = this.CONSUME(T.Num) as Lexeme
    // `1,5`
    const decimals = this.OPTION({
      GATE: () => this.isDecimalComma(token),
      DEF: () => {
        this.CONSUME(T.Comma)
        return this.CONSUME1(T.Num) as Lexeme
      },
    })
    return this.ACTION(() => this.asQuantity(token, decimals))
  })

  protected unit = this.RULE("unit", (): Name => {
    const token = this.OR([
      { ALT: () => this.CONSUME(T.Word) },
      { ALT: () => this.CONSUME(T.Percent) },
    ]) as Lexeme
    return { text: token.text, span: this.mistakes.spanOf(token) }
  })

  /** A number, and the unit or `%` that follows it, if one does. */
  protected quantity = this.RULE("quantity", (): Quantity => {
    const number = this.SUBRULE(this.number)
    const unit = this.OPTION({ GATE: () => !this.isClauseWord(), DEF: () => this.SUBRULE(this.unit) })
    return unit === undefined ? number : this.ACTION(() => this.withUnit(number, unit))
  })

  /** A number that has no unit: odds, money, a count. */
  protected plain = this.RULE("plain", (): Quantity => {
    const number = this.SUBRULE(this.number)
    const unit = this.OPTION({
      GATE: () => !this.isClauseWord() && (this.at("%") || !this.next.first),
      DEF: () => this.SUBRULE(this.unit),
    })
    if (unit !== undefined) this.ACTION(() => this.needless(unit.span))
    return number
  })

  protected percent = this.RULE("percent", (): Quantity => {
    const number = this.SUBRULE(this.number)
    this.ACTION(() => this.mendPercent())
    const sign = this.OPTION(() => this.CONSUME(T.Percent) as Lexeme)
    return this.ACTION(() => {
      if (sign !== undefined) return this.withUnit(number, { text: "%", span: this.mistakes.spanOf(sign) })
      const meant = asPercentage(number)
      this.lacksSign(number, meant)
      return { ...meant, unit: { text: "%", span: number.span } }
    })
  })

  /** `4 powr on`: a longer word behind a number is a unit, unless it is a clause word but for a slip. */
  private isClauseWord(): boolean {
    const { kind, text } = this.next
    return kind === "word" && text.length > 3 && nearest(text, this.clauseWords) !== undefined
  }

  private isDecimalComma(number: Lexeme): boolean {
    const [comma, more] = [this.next, this.ahead(2)]
    const isClose = comma.start === number.end && more.start === comma.end
    return comma.key === "," && more.kind === "number" && isClose
  }

  private asQuantity(token: Lexeme, decimals: Lexeme | undefined): Quantity {
    const span = this.span(token.start)
    const text = this.mendNumber(token.text, decimals?.text, span)
    const value = Number(text)
    if (Number.isFinite(value)) return { value, spelling: text, span }
    this.mistakes.report("bad-number", span, `${quote(text)} is too large.`)
    return { value: 0, spelling: text, span }
  }

  private mendNumber(whole: string, decimals: string | undefined, span: Span): string {
    if (decimals !== undefined) {
      // `1.250,50` and `1,250.50`: the first of the two marks only parts the thousands.
      const isParted = whole.includes(".") || decimals.includes(".")
      const text = isParted
        ? whole.replace(".", "") + decimals.replace(/^(?!.*\.)/, ".")
        : `${whole}.${decimals}`
      const message = `${quote(`${whole},${decimals}`)} has a comma.`
      const help = isParted
        ? "Thousands are not parted, and decimals stand behind a point."
        : "Decimals stand behind a point."
      this.mistakes.mend("bad-number", span, message, `Write \`${text}\``, text, help)
      return text
    }
    if (!/^[-+]?\./.test(whole)) return whole
    const text = whole.replace(".", "0.")
    this.mistakes.mend(
      "bad-number",
      span,
      `${quote(whole)} begins with its point.`,
      `Write \`${text}\``,
      text,
    )
    return text
  }

  private withUnit(number: Quantity, unit: Name): Quantity {
    const { value, spelling, span } = number
    return { value, spelling, unit, span: this.span(span.start) }
  }

  private needless(span: Span): void {
    const message = `${quoteToken(this.last)} stands behind a number that takes no unit.`
    const help = `Write it like \`${this.mistakes.example}\`.`
    this.mistakes.mend("unexpected", span, message, "Take it out", "", help)
  }

  /** `90 percent` */
  private mendPercent(): void {
    const { next } = this
    if (!/^(?:percent|pct|per_cent)$/i.test(next.text) || next.kind !== "word") return
    const span = this.mistakes.spanOf(next)
    this.mistakes.mend("symbol", span, `${quote(next.text)} is written \`%\`.`, "Write `%`", "%")
    this.become(next, T.Percent, "%")
  }

  private lacksSign({ spelling, span }: Quantity, meant: Quantity): void {
    const message = `${quote(spelling)} lacks its \`%\`.`
    const isShare = meant.spelling !== spelling
    const help = isShare
      ? `As a percentage, ${quote(spelling)} of the whole is \`${meant.spelling}%\`.`
      : undefined
    const text = `${meant.spelling}%`
    this.mistakes.mend("incomplete", span, message, `Write \`${text}\``, text, help)
  }
}

/** `0.9` where a percentage is due is nine tenths: 90 %. */
function asPercentage(number: Quantity): Quantity {
  const { value, spelling } = number
  if (value <= 0 || value >= 1 || !spelling.includes(".")) return number
  const percent = Number((value * 100).toPrecision(12))
  return { ...number, value: percent, spelling: String(percent) }
}
