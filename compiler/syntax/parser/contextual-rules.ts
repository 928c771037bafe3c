import { lookUp } from "../../run/lookup.ts"
import * as T from "../lexer/token-types.ts"
import { become, type Rule, type TokenParser } from "./token-parser.ts"

/** One of some words that can be names elsewhere. */
export function wordRule<W extends string>($: TokenParser, name: string, words: readonly W[]): Rule<W> {
  return $.rule(name, (): W => {
    $.act(() => promote($, words))
    const { key } = $.choose({ ERR_MSG: name, DEF: words.map((word) => ({ ALT: () => $.word(word) })) })
    return key as W
  })
}

/** Makes the next token the word of the language that it is here; a misspelling is reported. */
export function promote($: TokenParser, words: readonly string[]): void {
  const { next } = $
  if (next.kind !== "word" || next.key !== "") return
  if (words.includes(next.text)) become(next, lookUp(T.WORD_TOKENS, next.text), next.text)
  else $.correctWord(words)
}
