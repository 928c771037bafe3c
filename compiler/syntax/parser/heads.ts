import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import { textOf } from "../recovery/expected.ts"
import type { Name, Text } from "../syntax-tree.ts"
import { GIVE_UP } from "./base-parser.ts"
import { Clauses } from "./clauses.ts"

/** What stands between the keyword of a declaration and its clauses. */
export class Heads extends Clauses {
  /** The name and the text of a declaration, which goes into `field`. */
  protected head = this.RULE("head", (field = "label"): { name?: Name; [field: string]: unknown } => {
    const head: { name?: Name; [field: string]: unknown } = {}
    this.attempt(() => {
      const name = this.SUBRULE(this.newName)
      head.name = this.ACTION(() => this.withItsWords(name)) ?? name
    })
    this.attempt(() => {
      this.ACTION(() => this.mayHaveLabel(head.name))
      head[field] = this.SUBRULE(this.label)
    })
    return head
  })

  private newName = this.RULE("newName", (): Name => {
    this.ACTION(() => this.mendReserved())
    return this.OR([
      { ALT: () => this.SUBRULE(this.name) },
      // Of two texts the first is meant for the name.
      { GATE: () => this.ahead(2).kind === "text", ALT: () => this.inQuotes(this.CONSUME(T.Text) as Lexeme) },
    ])
  })

  private label = this.RULE("label", (): Text => {
    this.ACTION(() => this.mendBareWords(textOf(this.mistakes.spec)))
    return this.SUBRULE(this.text)
  })

  private inQuotes(token: Lexeme): Name {
    const span = this.mistakes.spanOf(token)
    this.mistakes.mend("bad-name", span, "A name stands without quotes.", "Take the quotes away", token.text)
    return { text: token.text, span }
  }

  private mayHaveLabel(name: Name | undefined): void {
    if (name === undefined && this.next.kind !== "text") throw GIVE_UP
  }

  /** `water pump "…"`: words before the text are the rest of a name in several words. */
  private withItsWords(name: Name): Name {
    let n = 1
    while (this.ahead(n).kind === "word" && !this.ahead(n).first) n++
    if (n === 1 || this.ahead(n).kind !== "text" || this.ahead(n).first) return name
    let { text } = name
    for (; n > 1; n--) {
      text += `_${this.next.text.toLowerCase()}`
      this.SKIP_TOKEN()
    }
    const span = this.span(name.span.start)
    const help = "A name is one word; `_` joins the words of one."
    this.mistakes.mend("bad-name", span, "The name stands in several words.", `Write \`${text}\``, text, help)
    return { text, span }
  }

  /** For declarations that are whole with their head. */
  protected nothingMore(): void {
    if (this.next.kind === "end") return
    this.mistakes.strange(this.next, this.last)
    this.skipTo([])
  }
}
