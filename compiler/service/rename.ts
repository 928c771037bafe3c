import type { Change } from "../diagnostics/diagnostic.ts"
import { KEYWORDS } from "../syntax/language/statements.ts"
import type { Occurrence } from "./occurrences.ts"

export type Renaming = { readonly changes: readonly Change[] } | { readonly refused: string }

/** Renames a declared name in all files; says why where it cannot. */
export function rename(all: readonly Occurrence[], from: string, to: string): Renaming {
  if (!/^[a-z][a-z0-9_]*$/.test(to))
    return { refused: `\`${to}\` is no name: small letters, digits and \`_\`, a letter first.` }
  if (KEYWORDS.includes(to)) return { refused: `\`${to}\` is a word of the language: choose another name.` }
  if (!all.some((each) => each.name === from && each.declares))
    return { refused: `\`${from}\` is not declared: declare it first.` }
  if (to !== from && all.some((each) => each.name === to && each.declares))
    return { refused: `\`${to}\` is declared already: names are unique across all kinds.` }
  return {
    changes: all.filter((each) => each.name === from).map(({ span }) => ({ span, text: to })),
  }
}
