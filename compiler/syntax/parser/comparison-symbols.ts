import { COMPARISONS } from "../language/comparisons.ts"
import type { Token } from "../lexer/lexer.ts"

/** What other languages write, and what it is here. */
export const SYMBOLS: Readonly<Record<string, string>> = {
  "=": "is",
  "==": "is",
  "!=": "is not",
  "<>": "is not",
  "≠": "is not",
  "<": "below",
  ">": "above",
  "<=": "at most",
  "≤": "at most",
  ">=": "at least",
  "≥": "at least",
  "&": "and",
  "&&": "and",
  "|": "or",
  "||": "or",
  "!": "not",
}

/** The words that a comparison begins with. */
export const COMPARING: readonly string[] = [
  ...new Set(Object.keys(COMPARISONS).map((words) => words.replace(/ .*/, ""))),
]

export function isComparing(token: Token): boolean {
  return COMPARING.includes(token.key) || (token.kind === "symbol" && token.text in SYMBOLS)
}
