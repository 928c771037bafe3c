import { COMPARISONS } from "./comparisons.ts"
import { SCENARIO_WORDS } from "./scenarios.ts"
import { DECLARATIONS } from "./statements.ts"
import { TEXTS_WORDS } from "./texts.ts"

/** The words that begin a declaration. */
export const DECLARATION_WORDS: readonly string[] = DECLARATIONS.map((spec) => spec.keyword)

/** Words of conditions and of the arguments of clauses. */
const INNER = "and or not from to by per hour on off any in except gone stays holds fails ruled as"

/** All words of the language. */
export const WORDS: readonly string[] = [
  ...new Set([
    ...DECLARATION_WORDS,
    ...DECLARATIONS.flatMap((spec) => spec.clauses.flatMap((item) => item.words.split(" "))),
    ...Object.keys(COMPARISONS).flatMap((item) => item.split(" ")),
    ...INNER.split(" "),
  ]),
]

/**
 * Words that came with version 0.2. Rulesets written before may use them as names, so each is a word of the language
 * only in the declarations that have a clause with it, and there only where no name can stand.
 */
export const CONTEXTUAL_WORDS: ReadonlySet<string> = new Set(
  `waiting second unlisted fit waits eased removes gives picture language ${SCENARIO_WORDS} ${TEXTS_WORDS}`.split(
    " ",
  ),
)

/** The reserved words: none of them can be a name; each can be a value of `one of`. */
export const KEYWORDS: readonly string[] = WORDS.filter((word) => !CONTEXTUAL_WORDS.has(word))
