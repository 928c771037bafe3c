import * as T from "../lexer/token-types.ts"
import type { Text } from "../syntax-tree.ts"
import { become, type Rule, type TokenParser } from "./token-parser.ts"

export interface TextRules {
  /** A text in quotes. */
  readonly text: Rule<Text>
  /** A text of a clause or a head; `what` it is, for a message. Words without quotes are taken for one. */
  readonly quoted: Rule<Text, [what?: string | undefined]>
}

export function textRules($: TokenParser): TextRules {
  const text = $.rule("text", (): Text => {
    const token = $.take(T.Text)
    return { value: token.text, span: $.problems.spanOf(token) }
  })
  const quoted = $.rule("quoted", (what: string | undefined = "text"): Text => {
    $.act(() => quoteBareWords($, what))
    return $.use(text)
  })
  return { text, quoted }
}

/** Bare words where a text belongs, up to a clause or the end of the line, are reported, and become one text. */
function quoteBareWords($: TokenParser, what: string): void {
  const { start, kind, key, first } = $.next
  if (kind === "text" || kind === "end" || kind === "garbage" || first) return
  if ($.clauseWords.includes(key)) return
  let words = ""
  while (!endsText($, 2)) {
    words += $.next.text + " ".repeat($.ahead(2).start - $.next.end)
    $.skip()
  }
  const token = $.next
  // A lone quote runs to the end of the line, and there is nothing in it.
  const isClosed = token.kind === "garbage" && token.text === '"'
  $.problems.missingQuotes(what, $.problems.span(start, token.end), isClosed)
  token.text = isClosed ? words : words + token.text
  token.start = start
  token.kind = "text"
  become(token, T.Text)
}

function endsText($: TokenParser, n: number): boolean {
  const { first, key } = $.ahead(n)
  return first || $.clauseWords.includes(key)
}
