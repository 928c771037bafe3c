import { RunError } from "./error.ts"
import type { GraphFormula, GraphReading } from "./graph.ts"
import { numberIn } from "./read.ts"

/**
 * What a reading comes to, with its unit, to as many digits as its meter has and two more. Beside the runner, which takes
 * the result like any other value.
 *
 * @throws RunError where a number is missing, isn't one, or where they give none
 */
export function workOut(
  { name, takes = [], gives, unit = "", by = 1 }: GraphReading,
  taken: Readonly<Record<string, string>>,
): string {
  const numbers = takes.map((input) => {
    const said = taken[input.name] ?? ""
    const number = numberIn(input, said.trim())
    if (number !== undefined && Number.isFinite(number)) return number
    throw new RunError("answer", `\`${input.name}\` is a number in ${input.unit}; \`${said}\` isn't.`)
  })
  const result = gives === undefined ? Number.NaN : resultOf(gives, numbers)
  if (!Number.isFinite(result))
    throw new RunError("answer", `\`${name}\` can't be worked out of these numbers: it would divide by zero.`)
  const decimals = Math.min(20, Math.max(0, 2 - Math.floor(Math.log10(by))))
  return `${Number(Number(result.toPrecision(12)).toFixed(decimals))} ${unit}`
}

function resultOf(formula: GraphFormula, numbers: readonly number[]): number {
  if (typeof formula === "number") return formula
  if (formula[0] === "take") return numbers[formula[1]] ?? Number.NaN
  const [left, right] = [resultOf(formula[1], numbers), resultOf(formula[2], numbers)]
  switch (formula[0]) {
    case "+":
      return left + right
    case "-":
      return left - right
    case "*":
      return left * right
    case "/":
      return left / right
  }
}
