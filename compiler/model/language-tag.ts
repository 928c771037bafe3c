import { excerpt } from "../diagnostics/escape.ts"
import type { Name } from "../syntax/syntax-tree.ts"
import type { Report } from "./codes.ts"

/** What a ruleset's own texts are in, where it doesn't say so. */
export const USUAL_LANGUAGE = "en"

/** A tag as BCP 47 writes it, like `pt-BR`; undefined if it is none, which is reported. */
export function languageOf({ text, span }: Name, report: Report): string | undefined {
  const tag = canonicalTag(text)
  if (tag !== undefined) return tag
  return report.say("bad-language", span, `${excerpt(text)} isn't a language.`, {
    help: "Write its tag of BCP 47, like `de`, `fr` or `pt-BR`.",
  })
}

/** As BCP 47 writes it; undefined if it is no tag. */
function canonicalTag(text: string): string | undefined {
  try {
    return Intl.getCanonicalLocales(text)[0]
  } catch {
    return undefined
  }
}
