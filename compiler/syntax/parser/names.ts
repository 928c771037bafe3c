import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import { meantBy } from "../language/synonyms.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type { Name } from "../syntax-tree.ts"
import { COMPARING, isComparing } from "./comparison-symbols.ts"
import { become, type Rule, type TokenParser } from "./token-parser.ts"

const NAME = /^[a-z][a-z0-9_]*$/

export interface NameRules {
  readonly name: Rule<Name>
  /** Names, given to `add` one by one, so that what comes before a mistake is kept. */
  readonly names: Rule<void, [add?: (name: Name) => void]>
  /** A value of `one of`: any word, reserved or not. */
  readonly value: Rule<Name>
  readonly values: Rule<Name[]>
}

/** Names, values and lists of them; also what is often written for them, where it is clear what is meant. */
export function nameRules($: TokenParser): NameRules {
  const name = $.rule("name", (): Name => {
    $.act(() => takeReservedAsName($))
    // `3v3_rail`
    const digits = $.maybe({ GATE: () => isOneWord($), DEF: () => $.take(T.Num) })
    const word = $.take(T.Word)
    return $.act(() => asName($, word, digits))
  })

  const names = $.rule("names", (add: (name: Name) => void = () => {}): void => {
    add($.use(name))
    $.repeat({
      GATE: () => listGoesOn($),
      DEF: () => {
        const comma = $.maybe(() => $.take(T.Comma))
        const next = $.use(name, [], 1)
        add(comma === undefined ? { ...next, lacksComma: true } : next)
      },
    })
  })

  const value = $.rule("value", (): Name => {
    const word = $.take(T.AnyWord)
    return $.act(() => asName($, word))
  })

  const values = $.rule("values", (): Name[] => {
    const all = [$.use(value)]
    $.repeat({
      GATE: () => listGoesOn($),
      DEF: () => {
        $.maybe(() => $.take(T.Comma))
        all.push($.use(value, [], 1))
      },
    })
    return all
  })

  return { name, names, value, values }
}

/** A reserved word where a name belongs is reported and taken for one, unless a clause begins with it. */
export function takeReservedAsName($: TokenParser): void {
  const token = $.next
  if (token.kind !== "word" || token.key === "" || token.first) return
  if ($.clauseWords.includes(token.key)) return
  $.problems.reservedWord(token)
  become(token, T.Word)
}

function isOneWord($: TokenParser): boolean {
  const [number, word] = [$.next, $.ahead(2)]
  return word.kind === "word" && word.start === number.end
}

/** A name of other characters than names have is reported, and read as the closest that is one. */
function asName($: TokenParser, word: Lexeme, digits?: Lexeme): Name {
  const span = $.spanFrom((digits ?? word).start)
  const text = digits === undefined ? word.text : digits.text + word.text
  if (NAME.test(text) || isReserved(word)) return { text, span }
  const plain = text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replace(/[-/]/g, "_")
  const message = `${excerpt(text)} isn't a name.`
  const help = "A name has small letters a–z, digits and `_`, and begins with a letter."
  if (NAME.test(plain)) {
    $.problems.correct("bad-name", span, message, `Write ${excerpt(plain)}`, plain, help)
    return { text: plain, span }
  }
  $.problems.report("bad-name", span, message, { help })
  return { text, span }
}

/**
 * A list goes on: at a comma, or at a name after a name on its line, where a comma was forgotten, unless it is a clause
 * word but for a misspelling.
 */
export function listGoesOn($: TokenParser): boolean {
  const { last, next } = $
  if (next.key === "and") correctAnd($)
  // In a list of faults, `any in PLACE` begins the next item.
  if (next.key === ",") return !($.ahead(2).key === "any" && $.clauseWords.includes("any"))
  if (next.kind !== "word" || next.key !== "" || next.first) return false
  const meant = closest(next.text, $.clauseWords) ?? meantBy(next.text, $.clauseWords)
  if (meant !== undefined) return false
  $.problems.missingComma(last, next)
  return true
}

/** `a and b`, in a list of names. */
function correctAnd($: TokenParser): void {
  const { last, next } = $
  const name = $.ahead(2)
  const isAnyIn = name.key === "any" && $.clauseWords.includes("any")
  if (!isAnyIn && (name.kind !== "word" || name.key !== "" || mayCompare($.ahead(3)))) return
  const message = `${excerpt(next.text)} is written as a comma in a list of names.`
  $.problems.correct("unexpected", $.problems.span(last.end, next.end), message, "Write `,`", ",")
  become(next, T.Comma, ",")
}

/** After a value another comparison can follow, perhaps with a misspelling in it. */
function mayCompare(token: Lexeme): boolean {
  const meant = closest(token.text, COMPARING) ?? meantBy(token.text, COMPARING)
  return isComparing(token) || (token.kind === "word" && meant !== undefined)
}

/** A reserved word that was taken for a name, which has been reported. */
function isReserved({ tokenType, text }: Lexeme): boolean {
  return tokenType === T.Word && T.reservedWord(text) !== ""
}
