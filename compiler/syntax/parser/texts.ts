import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Text } from "../syntax-tree.ts"
import { Reader } from "./base-parser.ts"

/** Texts in quotes, and what stands without them where one is due. */
export class Texts extends Reader {
  protected text = this.RULE("text", (): Text => {
    const token = this.CONSUME(T.Text) as Lexeme
    return { value: token.text, span: this.mistakes.spanOf(token) }
  })

  /** Bare words where a text stands, up to a clause or the end of the line, are reported, and become one text. */
  protected mendBareWords(what: string): void {
    const { start, kind, key, first } = this.next
    if (kind === "text" || kind === "end" || kind === "garbage" || first) return
    if (this.clauseWords.includes(key)) return
    let words = ""
    while (!this.endsText(2)) {
      words += this.next.text + " ".repeat(this.ahead(2).start - this.next.end)
      this.SKIP_TOKEN()
    }
    const token = this.next
    // A lone quote runs to the end of the line, and there is nothing in it.
    const closed = token.kind === "garbage" && token.text === '"'
    const span = this.mistakes.span(start, token.end)
    this.mistakes.unquoted(what, span, closed)
    token.text = closed ? words : words + token.text
    token.start = start
    token.kind = "text"
    this.become(token, T.Text)
  }

  private endsText(n: number): boolean {
    const { first, key } = this.ahead(n)
    return first || this.clauseWords.includes(key)
  }
}
