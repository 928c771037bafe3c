import { COMPARING, isComparing } from "./comparing.ts"
import type { Span } from "./finding.ts"
import { nearest } from "./nearest.ts"
import { quote } from "./quote.ts"
import { quoteToken } from "./slips.ts"
import { meantBy } from "./synonyms.ts"
import { Texts } from "./texts.ts"
import type { Lexeme } from "./tokens.ts"
import type { Name, Quantity } from "./tree.ts"
import * as T from "./vocabulary.ts"

const NAME = /^[a-z][a-z0-9_]*$/

/**
 * The terms that clauses are made of: names and lists of them, numbers and their units. The rules also take what
 * is often written in their place, where it is clear what is meant, and report it.
 */
export class Terms extends Texts {
  protected name = this.RULE("name", (): Name => {
    this.ACTION(() => this.mendReserved())
    // `3v3_rail`
    const digits = this.OPTION({ GATE: () => this.isOneWord(), DEF: () => this.CONSUME(T.Num) as Lexeme })
    const word = this.CONSUME(T.Word) as Lexeme
    return this.ACTION(() => this.asName(word, digits))
  })

  /** Names, added to `into` one by one, so that what comes before a mistake is kept. */
  protected names = this.RULE("names", (into: Name[] = []): void => {
    into.push(this.SUBRULE(this.name))
    this.MANY({
      GATE: () => this.goesOn(),
      DEF: () => {
        const comma = this.OPTION(() => this.CONSUME(T.Comma))
        const name = this.SUBRULE1(this.name)
        into.push(comma === undefined ? { ...name, lacksComma: true } : name)
      },
    })
  })

  /** A value of `one of`: any word, reserved or not. */
  protected value = this.RULE("value", (): Name => {
    const word = this.CONSUME(T.AnyWord) as Lexeme
    return this.ACTION(() => this.asName(word))
  })

  protected values = this.RULE("values", (): Name[] => {
    const values = [this.SUBRULE(this.value)]
    this.MANY({
      GATE: () => this.goesOn(),
      DEF: () => {
        this.OPTION(() => this.CONSUME(T.Comma))
        values.push(this.SUBRULE1(this.value))
      },
    })
    return values
  })

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

  /** A reserved word where a name is due is reported and taken for one, unless a clause begins with it. */
  protected mendReserved(): void {
    const token = this.next
    if (token.kind !== "word" || token.key === "" || token.first) return
    if (this.clauseWords.includes(token.key)) return
    this.mistakes.reserved(token)
    this.become(token, T.Word)
  }

  private isOneWord(): boolean {
    const [number, word] = [this.next, this.ahead(2)]
    return word.kind === "word" && word.start === number.end
  }

  /** A name of other characters than names have is reported, and read as the nearest that is one. */
  private asName(word: Lexeme, digits?: Lexeme): Name {
    const span = this.span((digits ?? word).start)
    const text = digits === undefined ? word.text : digits.text + word.text
    if (NAME.test(text) || isReserved(word)) return { text, span }
    const plain = text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replace(/[-/]/g, "_")
    const message = `${quote(text)} is no name.`
    const help = "A name begins with a small letter a–z; small letters, digits and `_` follow."
    if (NAME.test(plain)) {
      this.mistakes.mend("bad-name", span, message, `Write \`${plain}\``, plain, help)
      return { text: plain, span }
    }
    this.mistakes.report("bad-name", span, message, { help })
    return { text, span }
  }

  /**
   * A list goes on: at a comma, or at a name behind a name on its line, where a comma was forgotten, unless it is a clause
   * word but for a slip.
   */
  protected goesOn(): boolean {
    const { last, next } = this
    if (next.key === "and") this.mendJoint()
    if (next.key === ",") return true
    if (next.kind !== "word" || next.key !== "" || next.first) return false
    if (
      nearest(next.text, this.clauseWords) !== undefined ||
      meantBy(next.text, this.clauseWords) !== undefined
    )
      return false
    this.mistakes.lacksComma(last, next)
    return true
  }

  /** `a and b`, in a list of names. */
  private mendJoint(): void {
    const { last, next } = this
    const name = this.ahead(2)
    if (name.kind !== "word" || name.key !== "" || this.mayCompare(this.ahead(3))) return
    const message = `${quote(next.text)} stands where a comma parts the names.`
    this.mistakes.mend("unexpected", this.mistakes.span(last.end, next.end), message, "Write `,`", ",")
    this.become(next, T.Comma, ",")
  }

  /** Behind a value another comparison may follow, perhaps with a slip in it. */
  private mayCompare(token: Lexeme): boolean {
    const meant = nearest(token.text, COMPARING) ?? meantBy(token.text, COMPARING)
    return isComparing(token) || (token.kind === "word" && meant !== undefined)
  }

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

/** A reserved word that was taken for a name, which has been reported. */
function isReserved({ tokenType, text }: Lexeme): boolean {
  return tokenType === T.Word && T.reservedWord(text) !== ""
}
