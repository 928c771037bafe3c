import * as T from "../lexer/token-types.ts"
import type { Name, Translation, ValueTranslation } from "../syntax-tree.ts"
import { argumentRule } from "./argument-rule.ts"
import { wordRule } from "./contextual-rules.ts"
import type { SharedRules } from "./shared-rules.ts"
import type { Rule, TokenParser } from "./token-parser.ts"

/** A language's tag: any word, since `is` and `or` are languages too. */
export function languageRule($: TokenParser): Rule<Name> {
  return $.rule("language", (): Name => {
    const tag = $.take(T.AnyWord)
    return { text: tag.text, span: $.problems.spanOf(tag) }
  })
}

/** What the entries of texts say. */
export function translationArguments($: TokenParser, { names, texts, language }: SharedRules) {
  const as = wordRule($, "as", ["as"])

  const translation = argumentRule($, "translation", (keep) => {
    const { start } = $.next
    const name = $.maybe({ GATE: () => $.next.kind !== "text", DEF: () => $.use(names.name) })
    const original = $.use(texts.text)
    $.use(as)
    const text = $.use(texts.text, [], 1)
    keep({ ...(name && { name }), original, text, span: $.spanFrom(start) } satisfies Translation)
  })

  const valueTranslation = argumentRule($, "valueTranslation", (keep) => {
    const { start } = $.next
    const reading = $.use(names.name)
    $.word("is")
    const value = $.use(names.value)
    $.use(as)
    const text = $.use(texts.text)
    keep({ reading, value, text, span: $.spanFrom(start) } satisfies ValueTranslation)
  })

  return {
    language: argumentRule($, "ownLanguage", (keep) => keep($.use(language))),
    translation,
    valueTranslation,
  }
}
