import { at, last, lookUp } from "../../run/lookup.ts"
import type { ArgumentShape } from "../language/arguments.ts"
import type { ClauseSpec } from "../language/clause-specs.ts"
import { secondWord } from "../language/clause-starts.ts"
import { CONTEXTUAL_WORDS, DECLARATION_WORDS } from "../language/keywords.ts"
import { DECLARATIONS } from "../language/statements.ts"
import type { Lexeme, Token } from "../lexer/lexer.ts"
import { WORD_TOKENS } from "../lexer/token-types.ts"
import { become } from "./token-parser.ts"

/** Words of the language after which a name stands: those that begin a declaration, or a clause about a name. */
const BEFORE_NAME: ReadonlySet<string> = new Set([
  ...DECLARATION_WORDS,
  ...DECLARATIONS.flatMap(({ clauses }) =>
    clauses.filter(isAboutName).map(({ words }) => last(words.split(" "))),
  ),
  ..."in except and or not is , ( :".split(" "),
])

function isAboutName({ names, argument }: ClauseSpec): boolean {
  const shapes: readonly ArgumentShape[] = ["faults", "condition", "currency", "language"]
  return names.length > 0 || shapes.includes(argument)
}

/** Makes the contextual words of a declaration keywords where they begin or go on a clause of it. */
export function promoteContextualWords(tokens: readonly Lexeme[], clauses: readonly ClauseSpec[]): void {
  for (const [i, token] of tokens.entries()) {
    if (!isKeywordAt(tokens, i, clauses)) continue
    become(token, lookUp(WORD_TOKENS, token.text), token.text)
  }
}

/** Whether a contextual word stands for itself here, and not for something that has it as its name. */
export function isKeywordAt(tokens: readonly Token[], i: number, clauses: readonly ClauseSpec[]): boolean {
  const token = at(tokens, i)
  if (token.kind !== "word" || token.key !== "") return false
  if (!CONTEXTUAL_WORDS.has(token.text)) return false
  return clauses.some((clause) => {
    const words = clause.words.split(" ")
    const place = words.indexOf(token.text)
    if (place > 0) return words.slice(0, place).every((word, n) => tokens[i - place + n]?.text === word)
    return place === 0 && (!isBeforeName(tokens, i) || goesOn(tokens, i, clause))
  })
}

/** `rule out`, but not `ruled out`, which ends its clause. */
function isBeforeName(tokens: readonly Token[], i: number): boolean {
  const key = tokens[i - 1]?.key ?? ""
  return BEFORE_NAME.has(key) && !(key === "out" && tokens[i - 2]?.text === "ruled")
}

/** What follows can only be the rest of the clause: where a name is missing before it, the clause is still read. */
function goesOn(tokens: readonly Token[], i: number, clause: ClauseSpec): boolean {
  const [next, afterNext] = [tokens[i + 1], tokens[i + 2]]
  if (next === undefined) return false
  if (secondWord(clause) !== "") return next.text === secondWord(clause)
  if (clause.names.length > 0 || clause.argument === "expression" || clause.argument === "language")
    return at(tokens, i).first && next.kind === "word"
  if (clause.argument === "picture") return next.kind === "text" && afterNext?.kind === "text"
  return next.kind === "number" && (afterNext?.key === "%") === (clause.argument === "percent")
}
