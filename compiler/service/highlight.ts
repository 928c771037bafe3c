import { DECLARATION_WORDS } from "../syntax/language/keywords.ts"
import { DECLARATIONS } from "../syntax/language/statements.ts"
import { type Token, tokenize } from "../syntax/lexer/lexer.ts"
import { isKeywordAt } from "../syntax/parser/contextual-words.ts"

/** How a stretch of text is to be shown. */
export type TokenStyle =
  | "declaration"
  | "keyword"
  | "new-name"
  | "name"
  | "number"
  | "unit"
  | "text"
  | "comment"
  | "mark"
  | "broken"

export interface StyledRange {
  readonly start: number
  readonly end: number
  readonly look: TokenStyle
}

/** Words after which a new name stands. */
const declares = new Set(
  DECLARATIONS.filter(({ head }) => head.startsWith("NAME")).map(({ keyword }) => keyword),
)
const STARTS = new Set(DECLARATION_WORDS)
const clauses = DECLARATIONS.flatMap((spec) => spec.clauses)

/** A text, cut by the compiler's own lexer. No token goes over a line break, so a line can also be styled by itself. */
export function highlight(text: string): StyledRange[] {
  const { tokens, comments } = tokenize("", text)
  const shown: StyledRange[] = tokens
    .filter((token) => token.kind !== "end")
    .map((token, i) => ({ start: token.start, end: token.end, look: styleOf(token, tokens, i) }))
  for (const { start, end } of comments) shown.push({ start, end, look: "comment" })
  return shown.sort((a, b) => a.start - b.start)
}

function styleOf(token: Token, tokens: readonly Token[], i: number): TokenStyle {
  const before = tokens[i - 1]
  switch (token.kind) {
    case "number":
      return "number"
    case "text":
      return "text"
    case "garbage":
    case "symbol":
      return "broken"
    case "mark":
      return token.key === "%" && before?.kind === "number" ? "unit" : "mark"
    default:
      if (token.key !== "" || isKeywordAt(tokens, i, clauses)) {
        if (STARTS.has(token.key) && token.first) return "declaration"
        return before?.kind === "number" && token.key !== "and" && token.text === "min" ? "unit" : "keyword"
      }
      if (before?.kind === "number") return "unit"
      return before?.kind === "word" && declares.has(before.key) ? "new-name" : "name"
  }
}
