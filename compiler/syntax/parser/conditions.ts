import { excerpt } from "../../diagnostics/escape.ts"
import { at } from "../../run/lookup.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Condition, Name } from "../syntax-tree.ts"
import { isComparing, SYMBOLS } from "./comparison-symbols.ts"
import { correctRelation, correctSymbol, type Relation } from "./comparisons.ts"
import { type NameRules, takeReservedAsName } from "./names.ts"
import { GIVE_UP, type Rule, type TokenParser } from "./token-parser.ts"

/** Parentheses and `not` within each other; nobody reads more, and a stack has an end. */
export const MOST_NESTED = 200

export type ConditionRule = Rule<Condition, [isBare?: boolean]>

/**
 * Conditions. `isBare`: as in `shows` and `normally`, where the reading stands before the condition and is not named in
 * it. `and` and `or` in a row are one item with many parts; parentheses that change nothing are dropped.
 */
export function conditionRules($: TokenParser, { name }: NameRules, relation: Rule<Relation>): ConditionRule {
  const term = termRule($, { name }, relation, () => disjunction)
  const joined = (
    word: "and" | "or",
    item: Rule<Condition, [boolean, number]>,
    isBare: boolean,
    depth: number,
  ) => {
    const { start } = $.next
    const items = [$.use(item, [isBare, depth])]
    $.repeat({
      GATE: () => atJoint($, word),
      DEF: () => {
        $.word(word)
        items.push($.use(item, [isBare, depth], 1))
      },
    })
    return chain($, word, items, start)
  }
  const conjunction = $.rule("conjunction", (isBare: boolean, depth: number) =>
    joined("and", term, isBare, depth),
  )
  const disjunction: Rule<Condition, [boolean, number]> = $.rule(
    "disjunction",
    (isBare: boolean, depth: number) => joined("or", conjunction, isBare, depth),
  )

  return $.rule("condition", (isBare = false): Condition => {
    const condition = $.use(disjunction, [isBare, 0])
    $.repeat(() => {
      const token = $.take(T.Close)
      $.act(() => reportUnopened($, token))
    })
    return condition
  })
}

/** A comparison, one in parentheses, or the negation of one. `any`: the rule of what can be in parentheses. */
function termRule(
  $: TokenParser,
  { name }: Pick<NameRules, "name">,
  relation: Rule<Relation>,
  any: () => Rule<Condition, [boolean, number]>,
): Rule<Condition, [boolean, number]> {
  /** The reading of a comparison. */
  const subject = $.rule("subject", (): Name => $.use(name))

  const negation = (isBare: boolean, depth: number, start: number): Condition => {
    $.word("not")
    const item = $.use(term, [isBare, depth + 1])
    return { kind: "not", item, span: $.spanFrom(start) }
  }

  const parenthesis = (isBare: boolean, depth: number): Condition => {
    const open = $.take(T.Open)
    const inner = $.use(any(), [isBare, depth + 1])
    if ($.maybe(() => $.take(T.Close)) === undefined) $.act(() => reportUnclosed($, open))
    return inner
  }

  const term: Rule<Condition, [boolean, number]> = $.rule("term", (isBare: boolean, depth: number) => {
    const { start } = $.next
    $.act(() => correctTerm($, isBare, depth))
    return $.choose<Condition>({
      ERR_MSG: isBare ? "relation" : "subject",
      DEF: [
        { ALT: () => negation(isBare, depth, start) },
        { ALT: () => parenthesis(isBare, depth) },
        {
          GATE: () => !isBare,
          ALT: () => {
            const reading = $.use(subject)
            return { kind: "compare", reading, ...$.use(relation), span: $.spanFrom(start) }
          },
        },
        {
          GATE: () => isBare,
          ALT: () => ({ kind: "compare", ...$.use(relation, [], 1), span: $.spanFrom(start) }),
        },
      ],
    })
  })
  return term
}

function chain($: TokenParser, kind: "and" | "or", items: readonly Condition[], start: number): Condition {
  if (items.length === 1) return at(items, 0)
  const flat = items.flatMap((item) => (item.kind === kind ? item.items : [item]))
  return { kind, items: flat, span: $.spanFrom(start) }
}

/** `and` or `or` comes, perhaps as the symbol that other languages have for it. */
function atJoint($: TokenParser, word: "and" | "or"): boolean {
  const { next } = $
  if (next.key !== "") return next.key === word
  if (SYMBOLS[next.text] === word) correctSymbol($, word)
  // `adn`: only where a comparison or a parenthesis could follow, since anything else may begin a clause.
  else if (word === "and" && $.ahead(2).kind === "word") $.correctWord(["and"])
  return $.at(word)
}

/** Makes what is often written at the beginning of a comparison into what it means, and reports it. */
export function correctTerm($: TokenParser, isBare: boolean, depth: number): void {
  const { next } = $
  if (next.kind === "symbol" && next.text === "!") correctSymbol($, "not")
  if ($.at("not") || $.at("(")) refuseDeep($, depth, "Split the condition into several rules.")
  const isNamed = next.kind === "word" && isComparing($.ahead(2))
  if (isBare && isNamed && next.key === "") dropReading($)
  if (isBare) correctRelation($)
  else if (isNamed && next.key !== "not") takeReservedAsName($)
}

/** What comes next would be nested too deep. */
export function refuseDeep({ next, problems }: TokenParser, depth: number, help: string): void {
  if (depth < MOST_NESTED) return
  const message = `${excerpt(next.text)} is nested in ${MOST_NESTED} others.`
  problems.report("too-deep", problems.spanOf(next), message, { help })
  throw GIVE_UP
}

function dropReading($: TokenParser): void {
  const { next, problems } = $
  const message = `${excerpt(next.text)} isn't needed here.`
  const help = "The condition is about the reading named before it."
  problems.correct("unexpected", problems.spanOf(next), message, "Remove it", "", help)
  $.skip()
}

function reportUnopened({ problems }: TokenParser, token: Lexeme): void {
  const span = problems.spanOf(token)
  problems.correct("unpaired-parenthesis", span, "`)` has no `(` before it.", "Remove it", "")
}

function reportUnclosed({ last, next, problems }: TokenParser, open: Lexeme): void {
  if (next.kind === "garbage") throw GIVE_UP
  const after = problems.span(last.end, last.end)
  problems.report("unpaired-parenthesis", problems.spanOf(open), "`(` has no `)`.", {
    labels: [{ span: problems.spanOf(last), text: "`)` expected after this" }],
    edits: [{ title: "Insert `)`", safe: false, changes: [{ span: after, text: ")" }] }],
  })
}
