import type { IOrAlt } from "chevrotain"
import type { Span } from "../../diagnostics/diagnostic.ts"
import type { ClauseSpec } from "../language/clause-specs.ts"
import { clausesFrom, onceAs, secondWord } from "../language/clause-starts.ts"
import { explainMissingSecond, explainStrange } from "../recovery/explain.ts"
import { clauseWithoutWords } from "../recovery/missing-words.ts"
import type { Declaration, Name } from "../syntax-tree.ts"
import type { Keep } from "./argument-rule.ts"
import type { argumentRules } from "./arguments.ts"
import { GIVE_UP, type TokenParser } from "./token-parser.ts"

/** A declaration as read, before its comments are known. */
export type Bare<D extends Declaration = Declaration> = D extends Declaration
  ? Omit<D, "keyword" | "span" | "leading" | "inner" | "blankBefore" | "detached" | "whole">
  : never

export type Draft<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer E)[] ? E[] : T[K] }

/** A declaration of any kind, by its fields. */
type Fields = Record<string, unknown>

type Arguments = ReturnType<typeof argumentRules>

/** Tokens that a look ahead goes at most: no declaration of a person's is longer. */
const FAR = 200

/**
 * Reads clauses into a declaration as long as there are any. What begins no clause is reported and passed over; each clause is read on
 * its own, so that a mistake in one leaves the others. A clause that stands twice is read into a copy that nobody
 * sees, for its own mistakes.
 */
export function readClauses(
  $: TokenParser,
  args: Arguments,
  clauses: readonly ClauseSpec[],
  draft: object,
): void {
  const into = draft as Fields
  const own = alternatives($, args, clauses, into)
  const seen = new Map<string, Span>()
  $.repeat({
    GATE: () => atClause($, seen),
    DEF: () => {
      const ahead = $.act(() => clauseAhead($))
      const before = ahead && seen.get(ahead.once)
      if (ahead !== undefined && before !== undefined) $.problems.doubled(ahead.words, ahead.here, before)
      else if (ahead !== undefined && ahead.once !== "") seen.set(ahead.once, ahead.here)
      const all = before === undefined ? own : alternatives($, args, clauses, structuredClone(into))
      $.attempt(() => {
        $.act(() => needsSecondWord($))
        // Which clause it is has been seen by its words; where some are missing, it is read up to there.
        $.choose({ DEF: all, MAX_LOOKAHEAD: 1, IGNORE_AMBIGUITIES: true })
      }, sureStarts($))
    },
  })
}

function alternatives(
  $: TokenParser,
  args: Arguments,
  clauses: readonly ClauseSpec[],
  into: Fields,
): IOrAlt<void>[] {
  return clauses.map((clause, i) => ({
    GATE: () => $.problems.clause === clause,
    ALT: () => readClause($, args, clause, i, into),
  }))
}

/** One clause; `index` tells it apart from the others of the declaration. */
function readClause($: TokenParser, args: Arguments, clause: ClauseSpec, index: number, into: Fields): void {
  // The words of `yes or no` are its argument too, since they are often written in another way.
  const words = clause.argument === "yesOrNo" ? ["yes"] : clause.words.split(" ")
  const [first] = words.map((word) => $.word(word, index))
  if (clause.group === "kind") {
    const kinds = into.kinds as Name[] | undefined
    if (first !== undefined) $.act(() => kinds?.push({ text: first.key, span: $.problems.spanOf(first) }))
  }
  if (clause.argument === "faults") return
  $.use(args[clause.argument], [keeping(clause, into), first?.start, nameOfText(clause)], index)
}

function keeping({ field }: ClauseSpec, into: Fields): Keep {
  return (value) => {
    const list = into[field]
    if (Array.isArray(list)) list.push(value)
    else into[field] = value
  }
}

/** What a message calls the text of a clause: `version`. */
function nameOfText({ form }: ClauseSpec): string {
  const inside = /"(\w+)"/.exec(form)?.[1] ?? "text"
  return inside === "text" || inside === "semver" ? (form.split(" ")[0] ?? "text") : inside
}

/** Words that surely begin a clause after a mistake too: `yes` and `one` may be values. */
function sureStarts({ clauseWords }: TokenParser): readonly string[] {
  return clauseWords.filter((word) => word !== "yes" && word !== "one")
}

function atClause($: TokenParser, seen: ReadonlyMap<string, Span>): boolean {
  while ($.next.kind !== "end") {
    if ($.clauseWords.includes($.next.key)) return true
    // `none, thin, thick`: no misspelling of `one`, but values.
    if ($.ahead(2).key !== "," && $.correctWord($.clauseWords)) return true
    if ($.next.key === "," && $.clauseWords.includes($.ahead(2).key)) {
      $.dropNeedless()
      continue
    }
    reportStrange($, seen)
    if ($.next.kind !== "garbage") $.skip()
    $.skipTo(sureStarts($))
  }
  return false
}

function reportStrange($: TokenParser, seen: ReadonlyMap<string, Span>): void {
  const { next, last, problems } = $
  const rest = $.ahead(2)
  if (last.kind === "text" && next.start === last.end && rest.kind === "text" && rest.start === next.end) {
    problems.quotesWithin(last, rest)
    return
  }
  const isTimes = next.kind === "number" && /^(?:times?|x)$/.test(rest.text)
  if (isTimes && clausesFrom(problems.spec, "times").length > 0) {
    problems.reversed(next, rest, "times")
    $.skip()
    return
  }
  const clause = clauseWithoutWords(problems.spec, next, rest)
  if (clause === undefined || seen.has(onceAs(clause)) || comes($, clause))
    explainStrange(problems, next, $.ahead(-1).kind === "number" ? undefined : last)
  else problems.missingWords(clause.words, next)
}

/** The declaration goes on to a clause that begins like this. */
function comes($: TokenParser, { words }: ClauseSpec): boolean {
  const [first] = words.split(" ")
  for (let n = 2; n < FAR && $.ahead(n).kind !== "end"; n++) if ($.ahead(n).key === first) return true
  return false
}

interface ClauseAhead {
  readonly once: string
  readonly words: string
  readonly here: Span
}

/** The clause that begins here, and its words as far as they tell it from others. */
function clauseAhead($: TokenParser): ClauseAhead | undefined {
  const { next, problems } = $
  const clauses = clausesFrom(problems.spec, next.key)
  const seconds = clauses.map(secondWord)
  // Where a name can follow at once, as after `after`, no misspelling is looked for in it.
  if (clauses.length > 1 && !seconds.includes("")) $.correctWord(seconds, 2)
  const second = $.ahead(2)
  const alike = clauses.length > 1 ? clauses.filter((each) => secondWord(each) === second.key) : clauses
  // `fix after any of` goes on where `fix after` has a name.
  const longer = alike.find(({ words }) => words.split(" ")[2] === $.ahead(3).key)
  const clause = longer ?? alike[0]
  problems.clause = clause ?? clauses[0]
  if (clause === undefined) return undefined
  const once = onceAs(clause)
  if (clauses.length === 1) return { once, words: next.key, here: problems.spanOf(next) }
  return { once, words: clause.words, here: problems.span(next.start, second.end) }
}

/** Reports the first word of several clauses without the second that tells them apart. */
function needsSecondWord($: TokenParser): void {
  const { next, problems } = $
  const seconds = clausesFrom(problems.spec, next.key).map(secondWord)
  if (seconds.length < 2 || seconds.includes("") || seconds.includes($.ahead(2).key)) return
  const first = next
  $.skip()
  explainMissingSecond(problems, seconds, $.next, first)
  throw GIVE_UP
}
