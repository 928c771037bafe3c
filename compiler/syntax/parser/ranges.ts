import { excerpt } from "../../diagnostics/escape.ts"
import { lookUp } from "../../run/lookup.ts"
import { meantBy } from "../language/synonyms.ts"
import * as T from "../lexer/token-types.ts"
import { COMPARING } from "./comparison-symbols.ts"
import { become, type TokenParser } from "./token-parser.ts"

/** Comparisons of numbers as they are spoken or printed: `5–10 V`, `from 5 to 10 V`, `is less than 5 V`. */

/** Two numbers follow, with a dash, `to` or `and` between them. */
export function atRange($: TokenParser): boolean {
  return rangeAt($) > 0
}

/** How far ahead what is between the two numbers of a range is; 0 if there is none. */
function rangeAt($: TokenParser): number {
  if ($.next.kind !== "number") return 0
  let n = 2
  // `7,5`
  if ($.ahead(n).key === "," && $.ahead(n + 1).kind === "number") n += 2
  if ($.ahead(n).kind === "word" && !isBetween($, n)) n++
  return isBetween($, n) && $.ahead(n + 1).kind === "number" ? n : 0
}

function isBetween($: TokenParser, n: number): boolean {
  const { key, tokenType } = $.ahead(n)
  return key === "to" || key === "and" || tokenType === T.Dash
}

/** `5–10`, where a comparison belongs. It is met again on the way to its numbers, and reported once. */
function correctRange($: TokenParser): void {
  const n = rangeAt($)
  if (n === 0) return
  const [low, before, between, high] = [$.next, $.ahead(n - 1), $.ahead(n), $.ahead(n + 1)]
  const span = $.problems.span(low.start, high.end)
  if ($.problems.hasSaid("symbol", span)) return
  const changes = [
    { span: $.problems.span(low.start, low.start), text: "between " },
    { span: $.problems.span(before.end, high.start), text: " and " },
  ]
  const message = "A range is written `between … and …`."
  $.problems.correctAt("symbol", span, message, "Write `between … and …`", changes)
  become(between, lookUp(T.WORD_TOKENS, "and"), "and")
}

/** A dash or another word where the word between two numbers belongs. */
export function correctBetween($: TokenParser, word: "and" | "to"): void {
  const { next } = $
  if (next.key === word || !isBetween($, 1) || $.ahead(2).kind !== "number") return
  const span = $.problems.span($.last.end, $.ahead(2).start)
  const message = `Between two numbers, ${excerpt(next.text || "–")} is written \`${word}\` here.`
  $.problems.correct("symbol", span, message, `Write \`${word}\``, ` ${word} `)
  become(next, lookUp(T.WORD_TOKENS, word), word)
}

/** Words about a comparison that are no part of it: `is` before it, `than` after it, `from` for `between`. */
export function correctSpoken($: TokenParser): void {
  dropIs($)
  correctRange($)
  const { next } = $
  const second = $.ahead(2)
  if (next.key === "from" && second.kind === "number") correctFrom($)
  const word = second.text === "than" ? meantBy(next.text, COMPARING) : undefined
  if (word === undefined) return
  const span = $.problems.span(next.start, second.end)
  const message = `${excerpt(`${next.text} than`)} is written \`${word}\`.`
  $.problems.correct("symbol", span, message, `Write \`${word}\``, word)
  $.skip()
  become(second, lookUp(T.WORD_TOKENS, word), word)
}

/** `is at least 5 V`. Values can be called `at` or `below`, so what follows must be a number, and no percentage. */
function dropIs($: TokenParser): void {
  const { next } = $
  if (next.key !== "is") return
  const [second, third] = [$.ahead(2), $.ahead(3)]
  const isLimit = second.key === "at" && (third.key === "least" || third.key === "most")
  const isOther = COMPARING.slice(1).includes(second.key) && third.kind === "number" && $.ahead(4).key !== "%"
  if (!isLimit && !isOther && third.text !== "than") return
  const span = $.problems.span(next.start, second.start)
  const message = "`is` goes with a value; a number is compared without it."
  $.problems.correct("unexpected", span, message, "Remove it", "")
  $.skip()
}

function correctFrom($: TokenParser): void {
  const { next } = $
  const span = $.problems.spanOf(next)
  $.problems.correct("symbol", span, "`from` is written `between` here.", "Write `between`", "between")
  become(next, lookUp(T.WORD_TOKENS, "between"), "between")
}
