import { type ClauseSpec, CONTEXTUAL_WORDS, DECLARATION_WORDS } from "../language/statements.ts"
import type { Lexeme, Token } from "../lexer/lexer.ts"
import { RESERVED } from "../lexer/token-types.ts"

/** Words and marks after which a name stands. */
const BEFORE_NAME: ReadonlySet<string> = new Set([
  ...DECLARATION_WORDS,
  ..."behind of in by shows reads swaps redoes removes risks after for expects except money".split(" "),
  ..."rule leaves only if and or not is , ( :".split(" "),
])

/** Makes the contextual words of a declaration keywords where they begin or go on a clause of it. */
export function promoteContextualWords(tokens: readonly Lexeme[], clauses: readonly ClauseSpec[]): void {
  for (const [i, token] of tokens.entries()) {
    if (!isKeywordAt(tokens, i, clauses)) continue
    const type = RESERVED.get(token.text)!
    token.key = token.text
    token.tokenType = type
    token.tokenTypeIdx = type.tokenTypeIdx!
  }
}

/** Whether a contextual word stands for itself here, and not for something that has it as its name. */
export function isKeywordAt(tokens: readonly Token[], i: number, clauses: readonly ClauseSpec[]): boolean {
  const token = tokens[i]!
  const before = tokens[i - 1]
  if (token.kind !== "word" || token.key !== "" || before === undefined) return false
  if (!CONTEXTUAL_WORDS.has(token.text)) return false
  return clauses.some(({ words, form }) => {
    const [first, second] = words.split(" ")
    if (second === token.text) return before.text === first
    if (first !== token.text) return false
    return !BEFORE_NAME.has(before.key) || goesOn(tokens, i, second, form.slice(words.length + 1))
  })
}

/** What follows can only be the rest of the clause: where a name is missing before it, the clause is still read. */
function goesOn(tokens: readonly Token[], i: number, second: string | undefined, argument: string): boolean {
  const next = tokens[i + 1]
  if (next === undefined) return false
  if (second !== undefined) return next.text === second
  if (argument.startsWith("N"))
    return next.kind === "number" && (tokens[i + 2]?.key === "%") === argument.startsWith("N%")
  return tokens[i]!.first && next.kind === "word"
}
