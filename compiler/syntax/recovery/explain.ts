import type { IRecognitionException } from "chevrotain"
import type { Edit } from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import { capitalized, listedNames, withArticle } from "../../wording/sentence.ts"
import type { Token } from "../lexer/lexer.ts"
import { type DeclarationProblems, quoteToken } from "./declaration-problems.ts"
import { expectedIn, type Unmet } from "./expected.ts"
import { fixesFor, fixesInClauses } from "./quick-fixes.ts"

/** Says why the grammar could not go on: what was expected at a token, and how it would be written. */
export function explain(
  problems: DeclarationProblems,
  { context }: IRecognitionException,
  unmet: Unmet,
  token: Token,
  last: Token,
  clauseWords: readonly string[],
): void {
  problems.isWhole = false
  // It has been reported by its characters.
  if (token.kind === "garbage") return
  const rules = unmet.rule === undefined ? context.ruleStack : [...context.ruleStack, unmet.rule]
  const expected = expectedIn(rules, problems)
  const innermost = rules.at(-1)
  const isReserved = token.kind === "word" && token.key !== "" && !clauseWords.includes(token.key)
  if (unmet.word === undefined && innermost === "subject" && isReserved) valueAlone(problems, token)
  else if (
    unmet.word === undefined &&
    isValueRule(rules) &&
    (token.kind === "number" || token.kind === "text")
  )
    valueIsWord(problems, token)
  else {
    const what = unmet.word ?? expected.what
    const edits = fixesFor(unmet.word, expected.isName, rules, problems, token)
    missing(problems, what, expected.example, token, last, edits)
  }
}

function isValueRule(rules: readonly string[]): boolean {
  return rules.includes("value")
}

/** The end, or something else, where something is expected. */
function missing(
  problems: DeclarationProblems,
  what: string,
  example: string,
  token: Token,
  last: Token,
  edits: Edit[],
): void {
  const help = `Write it like \`${example}\`.`
  const isBound = token.key !== "" || token.kind === "end" || (token.first && token.kind !== "text")
  if (isBound) {
    const message = `Expected ${what.replace(/,$/, "")} after ${quoteToken(last)}.`
    problems.report("incomplete", problems.spanOf(last), message, { help, edits })
  } else {
    const message = `Expected ${what.replace(/,$/, "")}, but found ${quoteToken(token)}.`
    problems.report("unexpected", problems.spanOf(token), message, { help, edits })
  }
}

/** `glow is yes or no`: a value where the reading is expected. */
function valueAlone(problems: DeclarationProblems, token: Token): void {
  problems.report(
    "unexpected",
    problems.spanOf(token),
    `Expected a reading, but found ${excerpt(token.text)}.`,
    {
      help: "Name the reading in each comparison, like `glow is yes or glow is no`.",
    },
  )
}

function valueIsWord(problems: DeclarationProblems, token: Token): void {
  const message = `Expected a value, which is one word, but found ${quoteToken(token)}.`
  const isNumber = token.kind === "number"
  const help = "Compare a number with `below`, `above`, `at least`, `at most`, `between` or `outside`."
  problems.report("unexpected", problems.spanOf(token), message, isNumber ? { help } : {})
}

/** A token that begins no clause of this declaration, after the last one unless that is a unit. */
export function explainStrange(problems: DeclarationProblems, token: Token, last: Token | undefined): void {
  problems.isWhole = false
  if (token.kind === "garbage") return
  const { called, spec } = problems
  const kind = withArticle(called)
  const words = spec.clauses.map((clause) => clause.words)
  const list = words.map((each) => `\`${each}\``).join(", ")
  const { name, edits } = fixesInClauses(problems.file, token, last, words)
  const others = list === "" ? `Nothing more belongs to ${kind}.` : `${capitalized(kind)} can have: ${list}.`
  const help = name === undefined ? others : `If it belongs to the word before, write \`${name}\`. ${others}`
  const isElsewhere = token.kind === "word" && token.key !== ""
  const verdict = isElsewhere ? "doesn't belong" : "has no meaning"
  problems.report("unexpected", problems.spanOf(token), `${quoteToken(token)} ${verdict} in ${kind}.`, {
    help,
    edits,
  })
}

/** The first word of several clauses, without the second that tells them apart. */
export function explainMissingSecond(
  problems: DeclarationProblems,
  seconds: readonly string[],
  token: Token,
  first: Token,
): void {
  problems.isWhole = false
  missing(problems, listedNames([...new Set(seconds)], "or"), problems.example, token, first, [])
}
