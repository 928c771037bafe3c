import { excerpt } from "../../diagnostics/escape.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Name, Text } from "../syntax-tree.ts"
import { type NameRules, takeReservedAsName } from "./names.ts"
import type { TextRules } from "./texts.ts"
import { GIVE_UP, type Rule, type TokenParser } from "./token-parser.ts"

/** The name and the text of a declaration. */
export interface Head {
  name?: Name
  text?: Text
}

/** What stands between the keyword of a declaration and its clauses; `what` the text is called in a message. */
export function headRule(
  $: TokenParser,
  names: NameRules,
  { quoted }: TextRules,
): Rule<Head, [what?: string | undefined]> {
  const newName = $.rule("newName", (): Name => {
    $.act(() => takeReservedAsName($))
    return $.choose<Name>([
      { ALT: () => $.use(names.name) },
      // Of two texts the first is meant for the name.
      { GATE: () => $.ahead(2).kind === "text", ALT: () => inQuotes($, $.take(T.Text)) },
    ])
  })

  const label = $.rule("label", (what: string | undefined = "label"): Text => $.use(quoted, [what]))

  return $.rule("head", (what: string | undefined = "label"): Head => {
    const head: Head = {}
    $.attempt(() => {
      const name = $.use(newName)
      head.name = $.act(() => withItsWords($, name)) ?? name
    })
    $.attempt(() => {
      $.act(() => mayHaveText($, head.name))
      head.text = $.use(label, [what])
    })
    return head
  })
}

function inQuotes({ problems }: TokenParser, token: Lexeme): Name {
  const span = problems.spanOf(token)
  problems.correct("bad-name", span, "A name has no quotes.", "Remove the quotes", token.text)
  return { text: token.text, span }
}

function mayHaveText({ next }: TokenParser, name: Name | undefined): void {
  if (name === undefined && next.kind !== "text") throw GIVE_UP
}

/** `water pump "…"`: words before the text are the rest of a name in several words. */
function withItsWords($: TokenParser, name: Name): Name {
  let n = 1
  while ($.ahead(n).kind === "word" && !$.ahead(n).first) n++
  if (n === 1 || $.ahead(n).kind !== "text" || $.ahead(n).first) return name
  let { text } = name
  for (; n > 1; n--) {
    text += `_${$.next.text.toLowerCase()}`
    $.skip()
  }
  const span = $.spanFrom(name.span.start)
  const help = "Join the words of a name with `_`."
  $.problems.correct("bad-name", span, "A name is one word.", `Write ${excerpt(text)}`, text, help)
  return { text, span }
}
