import type { ClauseSpec } from "./clause-specs.ts"
import type { DeclarationSpec } from "./declaration-specs.ts"

/** The first words of the clauses of a declaration. */
export function firstWords({ clauses }: DeclarationSpec): readonly string[] {
  return [...new Set(clauses.map(({ words }) => words.split(" ")[0]!))]
}

/** The clauses of a declaration that begin with a word, in the order of the language. */
export function clausesFrom({ clauses }: DeclarationSpec, word: string): readonly ClauseSpec[] {
  return clauses.filter(({ words }) => words.split(" ")[0] === word)
}

/** The second word of a clause; empty where it has none. */
export function secondWord({ words }: ClauseSpec): string {
  return words.split(" ")[1] ?? ""
}

/** What a clause can stand only once as: a question has one type, in whichever words. Empty where it can stand often. */
export function onceAs({ words, repeats, group }: ClauseSpec): string {
  return repeats ? "" : group === "type" ? "type" : words
}
