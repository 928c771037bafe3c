import type { Change } from "../diagnostics/diagnostic.ts"
import { KEYWORDS } from "../syntax/language/keywords.ts"
import type { Token } from "../syntax/lexer/lexer.ts"
import type { Occurrence } from "./occurrences.ts"

export type Renaming = { readonly changes: readonly Change[] } | { readonly refused: string }

/** Why what stands at an offset isn't a name to rename; `token` is undefined in a space or a comment. */
export function whyNoName(token: Token | undefined): string {
  if (token?.kind === "text") return "This is a text. Change it where it stands."
  if (token?.kind === "number") return "This is a number. Change it where it stands."
  if (token?.kind !== "word") return "There is no name here. Put the cursor on a name that you declared."
  return token.key === ""
    ? `\`${token.text}\` isn't declared. Values and units are changed where they stand.`
    : `\`${token.text}\` is a word of the language. Only names that you declared can be renamed.`
}

/** Renames a declared name in all files; or says why it can't. */
export function rename(all: readonly Occurrence[], from: string, to: string): Renaming {
  if (!/^[a-z][a-z0-9_]*$/.test(to))
    return {
      refused: `\`${to}\` isn't a name. A name has lower-case letters, digits and \`_\`, and starts with a letter.`,
    }
  if (KEYWORDS.includes(to)) return { refused: `\`${to}\` is a keyword. Choose another name.` }
  if (!all.some((each) => each.name === from && each.declares))
    return { refused: `\`${from}\` isn't declared.` }
  if (to !== from && all.some((each) => each.name === to && each.declares))
    return { refused: `\`${to}\` is already declared. Every name must be unique.` }
  return {
    changes: all.filter((each) => each.name === from).map(({ span }) => ({ span, text: to })),
  }
}
