import type { ClauseSpec } from "../language/clause-specs.ts"
import type { DeclarationSpec } from "../language/declaration-specs.ts"
import type { Token } from "../lexer/lexer.ts"

const OF_TIME = /^(?:s|sec|min|mins|minutes?|h|hours?)$/

/**
 * The clause whose words are most likely missing where a bare number or name begins it: `3 min` of a test is what it
 * `takes`. Undefined if that isn't clear.
 */
export function clauseWithoutWords(
  { clauses }: DeclarationSpec,
  token: Token,
  next: Token,
): ClauseSpec | undefined {
  const implied = token.kind === "number" ? byUnit(next) : byFollower(token, next)
  return clauses.find((clause) => implied.includes(clause.implied))
}

type Implied = ClauseSpec["implied"]

function byUnit(unit: Token): Implied[] {
  if (OF_TIME.test(unit.text)) return ["minutes"]
  return unit.key === "%" ? ["percent"] : ["number"]
}

function byFollower(name: Token, next: Token): Implied[] {
  if (name.kind !== "word" || name.key !== "") return []
  return next.key === "from" ? ["name", "range"] : next.key === "," ? ["name", "values"] : ["name"]
}
