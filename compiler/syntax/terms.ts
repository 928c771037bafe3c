import { Cursor, GIVE_UP, quoteToken } from "./cursor.ts"
import { nearest } from "./nearest.ts"
import { quote } from "./quote.ts"
import type { Token } from "./tokens.ts"
import type { Name, Quantity, Text } from "./tree.ts"

const NAME = /^[a-z][a-z0-9_]*$/

/** Reads the terms that clauses are made of: names and lists of them, texts, numbers and their units. */
export class Terms extends Cursor {
  /** A plain word stands here, of whatever letters. */
  get atName(): boolean {
    return this.token.kind === "word" && this.token.key === ""
  }

  name(what: string, example: string): Name {
    const token = this.token
    if (token.kind === "word" && token.key === "") {
      this.i++
      if (NAME.test(token.text)) return { text: token.text, span: this.spanOf(token) }
      return this.oddName(token.text, token.start, token.end)
    }
    if (token.kind === "word" && !this.clauseWords.includes(token.key) && !token.first) {
      this.whole = false
      this.report(
        "reserved-word",
        this.spanOf(token),
        `${quote(token.text)} is a word of the language and cannot be a name.`,
        {
          help: `Choose another name, like \`the_${token.key}\`.`,
        },
      )
      this.i++
      return { text: token.text, span: this.spanOf(token) }
    }
    const next = this.ahead(1)
    if (token.kind === "number" && next.kind === "word" && next.start === token.end) {
      this.i += 2
      return this.oddName(token.text + next.text, token.start, next.end)
    }
    return this.missing(what, example)
  }

  /** A name of other characters than names have: reported, and read as the nearest that is one. */
  private oddName(text: string, start: number, end: number): Name {
    const span = { file: this.file, start, end }
    const plain = text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replace(/[-/]/g, "_")
    const message = `${quote(text)} is no name.`
    const help = "A name begins with a small letter a–z; small letters, digits and `_` follow."
    if (NAME.test(plain)) {
      this.mend("bad-name", span, message, `Write \`${plain}\``, plain, help)
      return { text: plain, span }
    }
    this.whole = false
    this.report("bad-name", span, message, { help })
    return { text, span }
  }

  /** Names with commas between, added to `into` one by one, so that what comes before a mistake is kept. */
  names(into: Name[], what: string, example: string): void {
    do into.push(this.name(what, example))
    while (this.accept(",") || this.forgottenComma())
  }

  /** A name right behind a name in a list: a comma was forgotten, unless it is a clause word but for a slip. */
  forgottenComma(): boolean {
    const { last, token } = this
    if (!this.atName || nearest(token.text, this.clauseWords) !== undefined) return false
    const message = `A comma is missing between ${quoteToken(last)} and ${quoteToken(token)}.`
    this.insert(message, ",")
    return true
  }

  /** A value of `one of`: any word, reserved or not. */
  value(example: string): Name {
    const token = this.token
    if (token.kind !== "word") {
      if (token.kind === "number" || token.kind === "text") this.valueIsWord(token)
      return this.missing("a value", example)
    }
    this.i++
    const plain = token.text.toLowerCase()
    if (token.text === plain && NAME.test(plain)) return { text: plain, span: this.spanOf(token) }
    return this.oddName(token.text, token.start, token.end)
  }

  private valueIsWord(token: Token): never {
    this.whole = false
    this.report(
      "unexpected",
      this.spanOf(token),
      `${quoteToken(token)} stands where a value is due, and a value is one word.`,
      {
        help:
          token.kind === "number"
            ? "Compare a number with `below`, `above`, `at least`, `at most`, `between` or `outside`."
            : undefined,
      },
    )
    throw GIVE_UP
  }

  text(what: string, example: string): Text {
    const token = this.token
    if (token.kind !== "text") return this.missing(what, example)
    this.i++
    return { value: token.text, span: this.spanOf(token) }
  }

  number(what: string, example: string): Token {
    const token = this.token
    if (token.kind !== "number") return this.missing(what, example)
    this.i++
    const comma = this.token
    const more = this.ahead(1)
    if (
      comma.key === "," &&
      comma.start === token.end &&
      more.kind === "number" &&
      more.start === comma.end
    ) {
      this.i += 2
      const text = `${token.text}.${more.text}`
      const span = this.span(token.start)
      this.mend(
        "bad-number",
        span,
        `${quote(`${token.text},${more.text}`)} has a comma.`,
        `Write \`${text}\``,
        text,
        "Decimals stand behind a point.",
      )
      return { ...token, text, end: more.end }
    }
    if (/^[-+]?\./.test(token.text)) {
      const text = token.text.replace(".", "0.")
      this.mend(
        "bad-number",
        this.spanOf(token),
        `${quote(token.text)} begins with its point.`,
        `Write \`${text}\``,
        text,
      )
      return { ...token, text }
    }
    return token
  }

  /** A number, and the unit or `%` that follows it, if one does. */
  quantity(what: string, example: string): Quantity {
    const number = this.number(what, example)
    const token = this.token
    const isUnit =
      token.key === "%" || (token.kind === "word" && token.key === "" && !this.looksLikeClause(token))
    if (!isUnit) return this.amount(number)
    this.i++
    return {
      ...this.amount(number),
      unit: { text: token.text, span: this.spanOf(token) },
      span: this.span(number.start),
    }
  }

  /** `4 powr on`: a longer word behind a number is a unit unless it is a clause word but for a slip. */
  private looksLikeClause(token: Token): boolean {
    return token.text.length > 3 && nearest(token.text, this.clauseWords) !== undefined
  }

  /** A number that has no unit: odds, money, a count. */
  plain(what: string, example: string): Quantity {
    const number = this.number(what, example)
    const token = this.token
    if (token.key === "%" || (this.atName && !token.first && !this.looksLikeClause(token))) {
      const span = this.spanOf(token)
      this.mend(
        "unexpected",
        span,
        `${quoteToken(token)} stands behind a number that takes no unit.`,
        "Take it out",
        "",
        `Write it like \`${example}\`.`,
      )
      this.i++
    }
    return this.amount(number)
  }

  percent(what: string, example: string): Quantity {
    const number = this.number(what, example)
    const span = this.span(number.start)
    if (this.accept("%"))
      return {
        ...this.amount(number),
        unit: { text: "%", span: this.spanOf(this.last) },
        span: this.span(number.start),
      }
    this.mend(
      "incomplete",
      span,
      `${quote(number.text)} lacks its \`%\`.`,
      `Write \`${number.text}%\``,
      `${number.text}%`,
    )
    return { ...this.amount(number), unit: { text: "%", span } }
  }

  private amount(number: Token): Quantity {
    const value = Number(number.text)
    if (!Number.isFinite(value)) {
      this.whole = false
      this.report("bad-number", this.spanOf(number), `${quote(number.text)} is too large.`)
      return { value: 0, spelling: number.text, span: this.spanOf(number) }
    }
    return { value, spelling: number.text, span: this.spanOf(number) }
  }
}
