import type { DeclarationSpec } from "../language/statements.ts"
import type { Token } from "../lexer/lexer.ts"

const OF_TIME = /^(?:s|sec|min|mins|minutes?|h|hours?)$/

/**
 * The words that a clause most likely lacks where a bare number or name begins it: `3 min` of a test is what it
 * `takes`. Undefined where that is not clear.
 */
export function lackingBefore(kind: DeclarationSpec["kind"], token: Token, next: Token): string | undefined {
  return token.kind === "number" ? beforeNumber(kind, next) : beforeName(kind, token, next)
}

function beforeNumber(kind: DeclarationSpec["kind"], unit: Token): string | undefined {
  if (OF_TIME.test(unit.text))
    return kind === "test" || kind === "told" || kind === "proof" ? "takes" : undefined
  if (unit.key === "%") return kind === "setup" ? "redo cures" : kind === "told" ? "trust" : undefined
  return kind === "part" ? "price" : kind === "fault" ? "odds" : undefined
}

function beforeName(kind: DeclarationSpec["kind"], name: Token, next: Token): string | undefined {
  if (name.kind !== "word" || name.key !== "") return undefined
  if (kind === "fault") return "in"
  if (kind === "setup") return "of"
  if (kind !== "reading" && kind !== "told") return undefined
  return next.key === "from" ? "in" : next.key === "," ? "one of" : undefined
}
