import { Clauses } from "./clauses.ts"
import { GIVE_UP } from "./reader.ts"
import type { Lexeme } from "./tokens.ts"
import type { Name, Text } from "./tree.ts"
import * as T from "./vocabulary.ts"

/** What stands between the keyword of a declaration and its clauses. */
export class Heads extends Clauses {
  /** The name and the text of a declaration, which goes into `field`. */
  protected head = this.RULE("head", (field = "label"): { name?: Name; [field: string]: unknown } => {
    const head: { name?: Name; [field: string]: unknown } = {}
    this.attempt(() => {
      head.name = this.SUBRULE(this.newName)
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
    this.ACTION(() => this.mendBareWords())
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

  /** Bare words where the label stands: quotes were forgotten. They are reported, and become one text. */
  private mendBareWords(): void {
    const { start, kind, key, first } = this.next
    if (kind === "text" || kind === "end" || kind === "garbage" || first) return
    if (this.clauseWords.includes(key)) return
    let words = ""
    const ends = (n: number) => this.ahead(n).first || this.clauseWords.includes(this.ahead(n).key)
    while (!ends(2)) {
      words += this.next.text + " ".repeat(this.ahead(2).start - this.next.end)
      this.SKIP_TOKEN()
    }
    const token = this.next
    this.mistakes.unquoted(this.mistakes.span(start, token.end))
    token.text = words + token.text
    token.start = start
    token.kind = "text"
    this.become(token, T.Text)
  }

  /** For declarations that are whole with their head. */
  protected nothingMore(): void {
    if (this.next.kind === "end") return
    this.mistakes.strange(this.next)
    this.skipTo([])
  }
}
