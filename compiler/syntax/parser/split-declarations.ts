import { closest } from "../../diagnostics/suggest.ts"
import { at } from "../../run/lookup.ts"
import { DECLARATION_WORDS } from "../language/keywords.ts"
import { DECLARATIONS } from "../language/statements.ts"
import { meantBy } from "../language/synonyms.ts"
import { beginsDeclaration, type Token } from "../lexer/lexer.ts"

/**
 * A stretch of tokens that belongs to one declaration: `start` to `end`, `end` not included. `meant`: the keyword, where
 * the author wrote another word; empty if no keyword is near.
 */
export interface DeclarationTokens {
  readonly start: number
  readonly end: number
  readonly meant?: string
}

/** Keywords that a text follows at once; `when` and `never` are followed by a condition, others by a name. */
const BEFORE_TEXT = new Set(["use", "proof", "scenario"])
const BEFORE_CONDITION = new Set(["when", "never"])

/** By declaration: words of its clauses that a name and a text follow, as they follow the words of declarations. */
const LIKE_DECLARATIONS: ReadonlyMap<string, readonly string[]> = new Map(
  DECLARATIONS.map(({ keyword, clauses }) => [
    keyword,
    clauses.filter(({ argument }) => argument === "translation").map(({ words }) => words),
  ]),
)

/**
 * Cuts a file at the words that begin declarations, before anything is parsed, so that a broken declaration never
 * spoils the next. Returns where the first one begins, and the stretches from there on.
 *
 * The same words may be values (`is part`). A value is never followed by a name, a text or an opening parenthesis,
 * and a declaration's keyword always is, which tells them apart whatever stands around.
 */
export function splitDeclarations(tokens: readonly Token[]): {
  first: number
  stretches: DeclarationTokens[]
} {
  const starts: { at: number; meant?: string }[] = []
  // Where in a list of values we are: at a value, or at the comma that may follow one.
  let list: "value" | "comma" | "none" = "none"
  // The `when` of this declaration has its `rule out` or `leaves only`.
  let hasVerb = false
  for (let i = 0; i < tokens.length; i++) {
    const token = at(tokens, i)
    const last = tokens[i - 1]
    const isValue =
      list === "value" || last?.key === "is" || (last?.key === "not" && tokens[i - 2]?.key === "is")
    if (token.key === "of" && last?.key === "one") list = "value"
    else list = list === "value" ? "comma" : list === "comma" && token.key === "," ? "value" : "none"
    if (token.kind !== "word") continue
    if (token.key === "" || token.key === "if") {
      const meant = misspelt(tokens, i, keywordOf(tokens, starts.at(-1)))
      if (meant !== undefined) starts.push({ at: i, meant })
    } else if (beginsDeclaration(token) && begins(tokens, i, isValue, hasVerb, starts.at(-1)?.at ?? -1)) {
      starts.push({ at: i })
      list = "none"
      hasVerb = false
    } else if (token.key === "rule" || token.key === "leaves") hasVerb = true
  }
  const stretches = starts.map(({ at, meant }, n) => ({
    start: at,
    end: starts[n + 1]?.at ?? tokens.length,
    ...(meant === undefined ? {} : { meant }),
  }))
  return { first: starts[0]?.at ?? tokens.length, stretches }
}

function keywordOf(tokens: readonly Token[], start: { at: number; meant?: string } | undefined): string {
  return start === undefined ? "" : (start.meant ?? at(tokens, start.at).key)
}

function begins(
  tokens: readonly Token[],
  i: number,
  isValue: boolean,
  hasVerb: boolean,
  stretch: number,
): boolean {
  const { key, first } = at(tokens, i)
  const next = tokens[i + 1]
  const fits = fitsBehind(key, next, tokens[i + 2])
  if (isValue) return fits && first
  if (key === "rule" && isVerb(tokens, i, hasVerb, stretch)) return false
  if (key === "when" && isNamedRule(tokens, i, stretch)) return false
  const last = tokens[i - 1]
  // `second fault 20%`, a clause of the ruleset.
  if (key === "fault" && last?.text === "second" && !fits) return false
  // `part test "…"`: a reserved word taken for a name.
  if (last !== undefined && beginsDeclaration(last) && next?.kind === "text" && !BEFORE_TEXT.has(key)) {
    if (!BEFORE_TEXT.has(last.key) && !BEFORE_CONDITION.has(last.key)) return false
  }
  return first || fits
}

function fitsBehind(key: string, next: Token | undefined, afterNext: Token | undefined): boolean {
  if (next === undefined) return false
  if (BEFORE_TEXT.has(key)) return next.kind === "text"
  const name = next.kind === "word" && next.key === ""
  if (BEFORE_CONDITION.has(key)) return name || next.key === "(" || next.key === "not"
  if (key === "rule") return name || next.key === ":" || next.key === "when"
  return name || next.kind === "text" || (next.kind === "word" && afterNext?.kind === "text")
}

/** `rule out`; and, where a `when` still waits for it, `rule` and whatever is not `NAME:` or `NAME when`. */
function isVerb(tokens: readonly Token[], i: number, hasVerb: boolean, stretch: number): boolean {
  const [next, afterNext] = [tokens[i + 1], tokens[i + 2]]
  if (next?.key === "out") return true
  const begun = tokens[stretch]?.key === "when" || tokens[stretch]?.key === "rule"
  const named =
    next?.key === ":" || next?.key === "when" || afterNext?.key === ":" || afterNext?.key === "when"
  return begun && !hasVerb && !named
}

/** The `when` of `rule NAME: when`, also where the name or the colon is missing. */
function isNamedRule(tokens: readonly Token[], i: number, stretch: number): boolean {
  if (tokens[stretch]?.key !== "rule" || i - stretch > 3) return false
  for (let k = stretch + 1; k < i; k++) if (at(tokens, k).key === "when") return false
  return true
}

/**
 * A word in a place where only a declaration's keyword can be: a word, a name and a text in a row, or a word and a text
 * (or a comparison) at the beginning of a line, are nowhere else in the language, but for the entries of `texts`.
 */
function misspelt(tokens: readonly Token[], i: number, declaration: string): string | undefined {
  const token = at(tokens, i)
  const last = tokens[i - 1]
  if (!token.first || last?.key === "," || (last !== undefined && beginsDeclaration(last))) return undefined
  const clauses = LIKE_DECLARATIONS.get(declaration) ?? []
  if (clauses.includes(token.text) || closest(token.text, clauses) !== undefined) return undefined
  const next = tokens[i + 1]
  const afterNext = tokens[i + 2]
  if (next?.kind === "word" && afterNext?.kind === "text" && next.key === "")
    return closest(token.text, DECLARATION_WORDS) ?? meantBy(token.text, DECLARATION_WORDS) ?? ""
  if (next?.kind === "text") return closest(token.text, BEFORE_TEXT)
  if (next?.kind === "word" && next.key === "")
    return closest(token.text, BEFORE_CONDITION) ?? whenSaid(token, last)
  return undefined
}

/** `if glow is yes rule out …`, unless it is the `if` of an `only if`. */
function whenSaid(token: Token, last: Token | undefined): string | undefined {
  return last?.key === "only" ? undefined : meantBy(token.text, ["when"])
}
