import type { Span } from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import { quoteToken } from "../recovery/declaration-problems.ts"
import type { Name, Quantity } from "../syntax-tree.ts"
import { become, type Rule, type TokenParser } from "./token-parser.ts"

export interface QuantityRules {
  readonly unit: Rule<Name>
  /** A number, and the unit or `%` that follows it, if one does. */
  readonly quantity: Rule<Quantity>
  /** A number that has no unit: odds, money, a count. */
  readonly plain: Rule<Quantity>
  readonly percent: Rule<Quantity>
}

/** Numbers, with a unit or `%` or without; also as they are often written, where it is clear what is meant. */
export function quantityRules($: TokenParser): QuantityRules {
  const number = $.rule("number", (): Quantity => {
    const token = $.take(T.Num)
    // `1,5`
    const decimals = $.maybe({
      GATE: () => isDecimalComma($, token),
      DEF: () => {
        $.take(T.Comma)
        return $.take(T.Num, 1)
      },
    })
    return $.act(() => asQuantity($, token, decimals))
  })

  const unit = $.rule("unit", (): Name => {
    const token = $.choose([{ ALT: () => $.take(T.Word) }, { ALT: () => $.take(T.Percent) }])
    return { text: token.text, span: $.problems.spanOf(token) }
  })

  const quantity = $.rule("quantity", (): Quantity => {
    const value = $.use(number)
    const its = $.maybe({ GATE: () => !isClauseWord($), DEF: () => $.use(unit) })
    return its === undefined ? value : $.act(() => withUnit($, value, its))
  })

  const plain = $.rule("plain", (): Quantity => {
    const value = $.use(number)
    const its = $.maybe({
      GATE: () => !isClauseWord($) && ($.at("%") || !$.next.first),
      DEF: () => $.use(unit),
    })
    if (its !== undefined) $.act(() => dropUnit($, its.span))
    return value
  })

  const percent = $.rule("percent", (): Quantity => {
    const value = $.use(number)
    $.act(() => correctPercent($))
    const sign = $.maybe(() => $.take(T.Percent))
    return $.act(() => {
      if (sign !== undefined) return withUnit($, value, { text: "%", span: $.problems.spanOf(sign) })
      const meant = asPercentage(value)
      missingSign($, value, meant)
      return { ...meant, unit: { text: "%", span: value.span } }
    })
  })

  return { unit, quantity, plain, percent }
}

/** `4 powr on`: a longer word after a number is a unit, unless it is a clause word but for a misspelling. */
function isClauseWord($: TokenParser): boolean {
  const { kind, text } = $.next
  return kind === "word" && text.length > 3 && closest(text, $.clauseWords) !== undefined
}

function isDecimalComma($: TokenParser, number: Lexeme): boolean {
  const [comma, more] = [$.next, $.ahead(2)]
  const isClose = comma.start === number.end && more.start === comma.end
  return comma.key === "," && more.kind === "number" && isClose
}

function asQuantity($: TokenParser, token: Lexeme, decimals: Lexeme | undefined): Quantity {
  const span = $.spanFrom(token.start)
  const text = correctNumber($, token.text, decimals?.text, span)
  const value = Number(text)
  if (Number.isFinite(value)) return { value, spelling: text, span }
  $.problems.report("bad-number", span, `${excerpt(text)} is too large.`)
  return { value: 0, spelling: text, span }
}

function correctNumber($: TokenParser, whole: string, decimals: string | undefined, span: Span): string {
  if (decimals !== undefined) {
    // `1.250,50` and `1,250.50`: the first of the two marks only separates the thousands.
    const isSeparated = whole.includes(".") || decimals.includes(".")
    const text = isSeparated
      ? whole.replace(".", "") + decimals.replace(/^(?!.*\.)/, ".")
      : `${whole}.${decimals}`
    const message = `${excerpt(`${whole},${decimals}`)} has a comma.`
    if (!isSeparated && /^[-+]?[1-9]\d{0,2}$/.test(whole) && /^\d{3}$/.test(decimals)) {
      const help = `It can be ${text} or ${whole}${decimals}: decimals follow a point, and thousands have no separator.`
      $.problems.correctAsOneOf("bad-number", span, message, [text, whole + decimals], help)
      return text
    }
    const help = isSeparated
      ? "Thousands have no separator, and decimals follow a point."
      : "Decimals follow a point."
    $.problems.correct("bad-number", span, message, `Write \`${text}\``, text, help)
    return text
  }
  if (!/^[-+]?\./.test(whole)) return whole
  const text = whole.replace(".", "0.")
  const message = `${excerpt(whole)} has no digit before its point.`
  $.problems.correct("bad-number", span, message, `Write \`${text}\``, text)
  return text
}

function withUnit($: TokenParser, number: Quantity, unit: Name): Quantity {
  const { value, spelling, span } = number
  return { value, spelling, unit, span: $.spanFrom(span.start) }
}

function dropUnit({ problems, last }: TokenParser, span: Span): void {
  const message = `${quoteToken(last)} follows a number that takes no unit.`
  const help = `Write it like \`${problems.example}\`.`
  problems.correct("unexpected", span, message, "Remove it", "", help)
}

/** `90 percent` */
function correctPercent({ problems, next }: TokenParser): void {
  if (!/^(?:percent|pct|per_cent)$/i.test(next.text) || next.kind !== "word") return
  const span = problems.spanOf(next)
  problems.correct("symbol", span, `${excerpt(next.text)} is written \`%\`.`, "Write `%`", "%")
  become(next, T.Percent, "%")
}

function missingSign({ problems }: TokenParser, { spelling, span }: Quantity, meant: Quantity): void {
  const message = `${excerpt(spelling)} is missing its \`%\`.`
  const isShare = meant.spelling !== spelling
  const help = isShare
    ? `As a percentage, ${excerpt(spelling)} of the whole is \`${meant.spelling}%\`.`
    : undefined
  const text = `${meant.spelling}%`
  problems.correct("incomplete", span, message, `Write \`${text}\``, text, help)
}

/** `0.9` where a percentage is expected is nine tenths: 90 %. */
function asPercentage(number: Quantity): Quantity {
  const { value, spelling } = number
  if (value <= 0 || value >= 1 || !spelling.includes(".")) return number
  const percent = Number((value * 100).toPrecision(12))
  return { ...number, value: percent, spelling: String(percent) }
}
