import { excerpt } from "../../diagnostics/escape.ts"
import { lookUp } from "../../run/lookup.ts"
import * as T from "../lexer/token-types.ts"
import type { Comparison, Name, Quantity } from "../syntax-tree.ts"
import { COMPARING, SYMBOLS } from "./comparison-symbols.ts"
import type { NameRules } from "./names.ts"
import type { QuantityRules } from "./quantities.ts"
import { atRange, correctBetween, correctSpoken } from "./ranges.ts"
import { become, type Rule, type TokenParser } from "./token-parser.ts"

const IN_TWO_WORDS = new Map([
  ["is not", T.NotEqual],
  ["at least", T.NoLess],
  ["at most", T.NoMore],
])

/** A comparison without the reading that is compared. */
export interface Relation {
  readonly comparison: Comparison
  readonly values: readonly Name[]
  readonly numbers: readonly Quantity[]
}

export function comparisonRules($: TokenParser, names: NameRules, quantities: QuantityRules): Rule<Relation> {
  const identity = identityRule($, names)
  const { below, above, atLimit } = limitRules($, quantities)
  const { between, outside, range } = pairRules($, quantities)

  /** `flow no`, where `flow is no` is meant. */
  const bareValue = $.rule("bareValue", (): Relation => {
    const { text, start, end } = $.choose([{ ALT: () => $.word("yes") }, { ALT: () => $.word("no") }])
    const span = $.problems.span(start, end)
    $.act(() => $.problems.missingBeforeValue("is", span))
    return amongValues("is", [{ text, span }])
  })

  return $.rule("relation", (): Relation => {
    $.act(() => correctRelation($))
    return $.choose<Relation>([
      { ALT: () => $.use(identity) },
      { ALT: () => $.use(below) },
      { ALT: () => $.use(above) },
      { ALT: () => $.use(atLimit) },
      { ALT: () => $.use(between) },
      { ALT: () => $.use(outside) },
      { GATE: () => atRange($), ALT: () => $.use(range) },
      { GATE: () => atBareValue($), ALT: () => $.use(bareValue) },
    ])
  })
}

function identityRule($: TokenParser, { value, values }: NameRules): Rule<Relation> {
  const negation = $.rule("negation", (): Relation => {
    $.word("not")
    return amongValues("is not", [$.use(value)])
  })

  const choice = $.rule("choice", (): Relation => {
    $.word("one")
    $.word("of")
    return amongValues("is one of", $.use(values))
  })

  const is = (): Relation => {
    $.word("is")
    return $.choose<Relation>(
      {
        ERR_MSG: "value",
        MAX_LOOKAHEAD: 1,
        IGNORE_AMBIGUITIES: true,
        DEF: [
          // Always the negation: a value that is called `not` can be had by `is one of not`.
          { ALT: () => $.use(negation) },
          { GATE: () => $.ahead(2).key === "of", ALT: () => $.use(choice) },
          { ALT: () => amongValues("is", [$.use(value)]) },
        ],
      },
      1,
    )
  }

  return $.rule("identity", (): Relation => {
    return $.choose<Relation>([
      { ALT: is },
      {
        ALT: () => {
          $.take(T.NotEqual)
          return amongValues("is not", [$.use(value, [], 1)])
        },
      },
    ])
  })
}

function limitRules($: TokenParser, { quantity }: QuantityRules) {
  const below = $.rule("below", (): Relation => {
    $.word("below")
    return amongNumbers("below", $.use(quantity))
  })

  const above = $.rule("above", (): Relation => {
    $.word("above")
    return amongNumbers("above", $.use(quantity))
  })

  const leastOrMost = (): Comparison => {
    $.word("at")
    $.act(() => $.correctWord(["least", "most"]))
    const word = $.choose([{ ALT: () => $.word("least") }, { ALT: () => $.word("most") }], 1)
    return word.key === "most" ? "at most" : "at least"
  }

  const extreme = $.rule("extreme", (): Comparison => {
    return $.choose<Comparison>([
      { ALT: leastOrMost },
      {
        ALT: () => {
          $.take(T.NoLess)
          return "at least"
        },
      },
      {
        ALT: () => {
          $.take(T.NoMore)
          return "at most"
        },
      },
    ])
  })

  const atLimit = $.rule("atLimit", (): Relation => {
    const comparison = $.use(extreme)
    return amongNumbers(comparison, $.use(quantity))
  })

  return { below, above, atLimit }
}

function pairRules($: TokenParser, { quantity }: QuantityRules) {
  const pair = (word: "between" | "outside"): Rule<Relation> =>
    $.rule(word, (): Relation => {
      $.word(word)
      const low = $.use(quantity)
      $.act(() => correctBetween($, "and"))
      $.word("and")
      return amongNumbers(word, low, $.use(quantity, [], 1))
    })

  /** `5–10 V`, where `between 5 and 10 V` is meant. */
  const range = $.rule("bareRange", (): Relation => {
    const low = $.use(quantity)
    $.word("and")
    return amongNumbers("between", low, $.use(quantity, [], 1))
  })

  return { between: pair("between"), outside: pair("outside"), range }
}

/** `yes` or `no`, and no number for it to be compared with. */
function atBareValue($: TokenParser): boolean {
  const { next } = $
  if (next.key !== "yes" && next.key !== "no") return false
  return $.ahead(2).kind !== "number" || $.ahead(3).key === "%"
}

/** Makes what is often written for a comparison into one, and reports it. */
export function correctRelation($: TokenParser): void {
  correctSpoken($)
  if ($.correctWord(COMPARING)) return
  const meant = $.next.tokenType === T.Sign ? SYMBOLS[$.next.text] : undefined
  if (meant !== undefined && meant !== "and" && meant !== "or" && meant !== "not") correctSymbol($, meant)
}

/** Reports a symbol of other languages, and makes it what it means. */
export function correctSymbol($: TokenParser, meant: string): void {
  const { next: token, problems } = $
  // `= 3`: that a number is not compared so is the one thing to say.
  if (meant !== "is" || $.ahead(2).kind !== "number") {
    const message = `${excerpt(token.text)} is written \`${meant}\`.`
    const span = problems.spanOf(token)
    const before = $.last.end === token.start ? " " : ""
    const after = $.ahead(2).start === token.end ? " " : ""
    problems.correct("symbol", span, message, `Write \`${meant}\``, before + meant + after)
  }
  const type = IN_TWO_WORDS.get(meant)
  if (type !== undefined) become(token, type)
  else become(token, lookUp(T.WORD_TOKENS, meant), meant)
}

function amongValues(comparison: Comparison, values: readonly Name[]): Relation {
  return { comparison, values, numbers: [] }
}

function amongNumbers(comparison: Comparison, ...numbers: readonly Quantity[]): Relation {
  return { comparison, values: [], numbers }
}
