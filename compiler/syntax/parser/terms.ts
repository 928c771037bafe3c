import { quote } from "../../diagnostics/escape.ts"
import { nearest } from "../../diagnostics/suggest.ts"
import { COMPARING, isComparing } from "../language/comparisons.ts"
import { meantBy } from "../language/synonyms.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Name } from "../syntax-tree.ts"
import { Quantities } from "./quantities.ts"

const NAME = /^[a-z][a-z0-9_]*$/

/**
 * Names, values and lists of them. The rules also take what is often written in their place, where it is clear what is
 * meant, and report it.
 */
export class Terms extends Quantities {
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
}

/** A reserved word that was taken for a name, which has been reported. */
function isReserved({ tokenType, text }: Lexeme): boolean {
  return tokenType === T.Word && T.reservedWord(text) !== ""
}
