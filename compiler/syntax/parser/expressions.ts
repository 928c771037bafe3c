import * as T from "../lexer/token-types.ts"
import type { Expression, InputTree, Operation } from "../syntax-tree.ts"
import { argumentRule } from "./argument-rule.ts"
import { refuseDeep } from "./conditions.ts"
import type { SharedRules } from "./shared-rules.ts"
import type { Rule, TokenParser } from "./token-parser.ts"

/** Operators by the signs that they are written with. */
const OPERATIONS: Readonly<Record<string, Operation>> = {
  "+": "+",
  "-": "-",
  "−": "-",
  "*": "*",
  "×": "*",
  "·": "*",
  "/": "/",
  "÷": "/",
}

/** What a reading takes, and what it gives. */
export function expressionArguments($: TokenParser, shared: SharedRules) {
  const sum = sumRule($, shared)
  return {
    inputs: inputsRule($, shared),
    expression: argumentRule($, "expression", (keep) => keep($.use(sum, [0]))),
  }
}

function inputsRule($: TokenParser, { names, quantities, texts }: SharedRules) {
  const input = $.rule("takenNumber", (): InputTree => {
    const { start } = $.next
    const name = $.use(names.name)
    const question = $.use(texts.quoted, ["text"])
    $.word("in")
    const unit = $.use(quantities.unit)
    return { kind: "input", name, question, unit, span: $.spanFrom(start) }
  })

  return argumentRule($, "inputs", (keep) => {
    keep($.use(input))
    $.repeat({
      GATE: () => $.at(","),
      DEF: () => {
        $.take(T.Comma)
        keep($.use(input, [], 1))
      },
    })
  })
}

/** A sum of products of numbers, names and sums in parentheses. Each rule takes how deep in parentheses it stands. */
function sumRule($: TokenParser, { names, quantities }: SharedRules): Rule<Expression, [number]> {
  const factor: Rule<Expression, [number]> = $.rule("factor", (depth: number): Expression => {
    const { start } = $.next
    $.act(() => {
      if ($.at("(")) refuseDeep($, depth, "Split the reading into several.")
    })
    return $.choose<Expression>({
      ERR_MSG: "operand",
      // A number comes first: what begins with a digit is no name here.
      IGNORE_AMBIGUITIES: true,
      DEF: [
        {
          ALT: () => {
            $.take(T.Open)
            const inner = $.use(sum, [depth + 1])
            $.take(T.Close)
            return inner
          },
        },
        {
          ALT: () => {
            const number = $.use(quantities.quantity)
            return { kind: "number", number, span: $.spanFrom(start) }
          },
        },
        { ALT: () => ({ kind: "name", name: $.use(names.name), span: $.spanFrom(start) }) },
      ],
    })
  })

  const chain = (name: string, operations: string, item: () => Rule<Expression, [number]>) =>
    $.rule(name, (depth: number): Expression => {
      const { start } = $.next
      let left = $.use(item(), [depth])
      $.repeat({
        GATE: () => operations.includes(OPERATIONS[$.next.text] ?? "none"),
        DEF: () => {
          const sign = $.take(T.Operator)
          const right = $.use(item(), [depth], 1)
          const operation = OPERATIONS[sign.text] ?? "+"
          left = { kind: "operation", operation, left, right, span: $.spanFrom(start) }
        },
      })
      return left
    })
  const product = chain("product", "*/", () => factor)
  const sum: Rule<Expression, [number]> = chain("sum", "+-", () => product)
  return sum
}
