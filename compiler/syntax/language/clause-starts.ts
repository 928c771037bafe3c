import { at } from "../../run/lookup.ts"
import type { ClauseSpec } from "./clause-specs.ts"
import type { DeclarationSpec } from "./declaration-specs.ts"
import { DECLARATIONS } from "./statements.ts"

/** How the clauses of a declaration begin. */
interface ClauseStarts {
  readonly firstWords: readonly string[]
  readonly byFirstWord: ReadonlyMap<string, readonly ClauseSpec[]>
}

/** Made once: the parser asks for them at each clause. */
const STARTS: ReadonlyMap<DeclarationSpec, ClauseStarts> = new Map(
  DECLARATIONS.map((spec) => [spec, clauseStarts(spec)]),
)

function clauseStarts({ clauses }: DeclarationSpec): ClauseStarts {
  const firstWords = [...new Set(clauses.map(({ words }) => at(words.split(" "), 0)))]
  const byFirstWord = new Map(
    firstWords.map((word) => [word, clauses.filter(({ words }) => words.split(" ")[0] === word)]),
  )
  return { firstWords, byFirstWord }
}

/** The first words of the clauses of a declaration. */
export function firstWords(spec: DeclarationSpec): readonly string[] {
  return STARTS.get(spec)?.firstWords ?? []
}

/** The clauses of a declaration that begin with a word, in the order of the language. */
export function clausesFrom(spec: DeclarationSpec, word: string): readonly ClauseSpec[] {
  return STARTS.get(spec)?.byFirstWord.get(word) ?? []
}

/** The second word of a clause; empty if it has none. */
export function secondWord({ words }: ClauseSpec): string {
  return words.split(" ")[1] ?? ""
}

/** Whether a declaration that has the one clause can't have the other. */
export function excludes(one: ClauseSpec, other: ClauseSpec): boolean {
  if (one.words === other.words) return !one.repeats
  if (one.group === undefined || one.group !== other.group) return false
  return one.beside !== other.words && other.beside !== one.words
}

/** What a clause can stand only once as: a question has one type, in whichever words. Empty if it can stand often. */
export function onceAs({ words, repeats, group }: ClauseSpec): string {
  return repeats ? "" : group === "type" ? "type" : words
}
