import type { Span } from "../diagnostics/diagnostic.ts"
import type { GraphFormula, GraphInput } from "../run/graph.ts"
import type { Expression, InputTree, Quantity, ReadDecl } from "../syntax/syntax-tree.ts"
import { COUNT } from "../wording/figures.ts"
import { listedNames } from "../wording/sentence.ts"
import { exact, knownUnit } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import type { Report } from "./codes.ts"
import { areSame, joined, madeOf, type Powers } from "./dimensions.ts"
import {
  add,
  divide,
  type Fraction,
  fractionOfNumber,
  multiply,
  ONE,
  subtract,
  toNumber,
  ZERO,
} from "./fraction.ts"
import type { Worked } from "./model.ts"
import { whyApart } from "./unit-spellings.ts"
import { type Unit, unitOf } from "./units.ts"

const FORM = 'takes NAME "text" in UNIT, … gives EXPRESSION'

interface Input {
  readonly place: number
  readonly unit: Unit
}

/** What an expression comes to, in base units: the formula, and what is to be added to it. */
interface Worth {
  readonly formula: GraphFormula
  readonly powers: Powers
  /** Of a quantity as it was taken, which sums keep. */
  readonly dimension?: string | undefined
  /** It counts from a zero point, as a temperature in °C or a level in dBm does; `zero` is that point. */
  readonly isPoint: boolean
  readonly zero: Fraction
}

/** The `takes` and `gives` of a reading in `target`; undefined if it has none, or if they are broken. */
export function bindWorked(decl: ReadDecl, target: Unit | undefined, report: Report): Worked | undefined {
  const { inputs, gives } = decl
  if (inputs.length === 0 && gives === undefined) return undefined
  const first = required(decl, inputs[0], "the numbers that it is worked out from", FORM, report)
  const given = first && required(decl, gives, "its `gives`", FORM, report)
  if (given === undefined) return undefined
  if (target === undefined) {
    if (decl.type === undefined || decl.type.kind === "quantity") return undefined
    return report.say(
      "type-mismatch",
      decl.type.span,
      `\`${decl.name?.text ?? "This"}\` is worked out, so it is a number.`,
      { help: "Give it a type like `in V from 0 to 30 by 0.1`." },
    )
  }
  const taken = bindInputs(inputs, report)
  if (taken === undefined) return undefined
  const worth = new Worker(taken.byName, report).worth(given)
  if (worth !== undefined) reportUnused(inputs, given, report)
  const formula = worth && inTarget(worth, target, given.span, report)
  return formula === undefined ? undefined : { takes: taken.takes, gives: formula }
}

function bindInputs(inputs: readonly InputTree[], report: Report) {
  const byName = new Map<string, Input>()
  const takes: GraphInput[] = []
  for (const { name, question, unit: said } of inputs) {
    const known = said && knownUnit(said, report)
    if (known === undefined || question === undefined) continue
    if (byName.has(name.text))
      report.say("doubled-name", name.span, `\`${name.text}\` is taken twice.`, {
        help: "Give each number a name of its own.",
      })
    byName.set(name.text, { place: takes.length, unit: known })
    takes.push({ name: name.text, question: question.value, unit: known.symbol })
  }
  return takes.length === inputs.length ? { byName, takes } : undefined
}

function reportUnused(inputs: readonly InputTree[], gives: Expression, report: Report): void {
  const used = new Set(namesIn(gives))
  for (const { name } of inputs)
    if (!used.has(name.text))
      report.say("unused-input", name.span, `\`${name.text}\` is taken, and \`gives\` doesn't use it.`, {
        help: "Use it, or leave it out: whoever is at the bench has to take it.",
      })
}

function namesIn(expression: Expression): string[] {
  if (expression.kind === "name") return [expression.name.text]
  return expression.kind === "number" ? [] : [...namesIn(expression.left), ...namesIn(expression.right)]
}

class Worker {
  readonly #inputs: ReadonlyMap<string, Input>
  readonly #report: Report

  constructor(inputs: ReadonlyMap<string, Input>, report: Report) {
    this.#inputs = inputs
    this.#report = report
  }

  /** Undefined if it has none, which has been reported. */
  worth(expression: Expression): Worth | undefined {
    if (expression.kind === "name") return this.#taken(expression.name.text, expression.span)
    if (expression.kind === "number") return this.#number(expression.number)
    const left = this.worth(expression.left)
    const right = this.worth(expression.right)
    if (left === undefined || right === undefined) return undefined
    const { operation, span } = expression
    return operation === "+" || operation === "-"
      ? this.#sum(operation, left, right, span)
      : this.#product(operation, left, right, span)
  }

  #taken(name: string, span: Span): Worth | undefined {
    const input = this.#inputs.get(name)
    if (input !== undefined) return worthOf(["take", input.place], input.unit)
    return this.#report.say("unknown-input", span, `\`${name}\` isn't among the numbers that are taken.`, {
      help: `Taken are ${listedNames([...this.#inputs.keys()])}.`,
    })
  }

  #number(number: Quantity): Worth | undefined {
    const value = exact(number, this.#report)
    const its = number.unit && knownUnit(number.unit, this.#report)
    if (value === undefined || (number.unit !== undefined && its === undefined)) return undefined
    return worthOf(toNumber(value), its ?? unitOf(COUNT))
  }

  #sum(operation: "+" | "-", left: Worth, right: Worth, span: Span): Worth | undefined {
    const unlike = whyUnlike(left, right, "Both sides need units of one dimension")
    if (unlike !== undefined) {
      const [a, b] = [left, right].map(({ dimension }) => dimension ?? "a product or quotient")
      const what = operation === "+" ? "can't be added" : "can't be subtracted"
      return this.#report.say("unit-mismatch", span, `These ${what}: ${a} and ${b}.`, { help: unlike })
    }
    if (right.isPoint && !(left.isPoint && operation === "-"))
      return this.#report.say(
        "unit-mismatch",
        span,
        operation === "+"
          ? "Two readings of a scale with a zero point of its own can't be added."
          : "From a difference no reading of a scale with a zero point of its own can be subtracted.",
        { help: "Two of them have a difference, and a difference can be added to one." },
      )
    const isPoint = left.isPoint && !right.isPoint
    const shift = operation === "+" ? add : subtract
    const level = isPoint ? "power level" : "level"
    const dimension = left.powers.has("dB") ? level : (left.dimension ?? right.dimension)
    return {
      formula: [operation, left.formula, right.formula],
      powers: left.powers,
      dimension,
      isPoint,
      zero: shift(left.zero, right.zero),
    }
  }

  #product(operation: "*" | "/", left: Worth, right: Worth, span: Span): Worth | undefined {
    const isScaled = right.powers.size === 0 || (operation === "*" && left.powers.size === 0)
    const hasLevel = left.powers.has("dB") || right.powers.has("dB")
    if (left.isPoint || right.isPoint || (hasLevel && !isScaled))
      return this.#report.say(
        "unit-mismatch",
        span,
        `What counts from a zero point of its own, or in \`dB\`, can't be ${operation === "*" ? "multiplied" : "divided"}.`,
        { help: "Work with differences, in `K` or `dB`, and plain numbers." },
      )
    return {
      formula: [operation, left.formula, right.formula],
      powers: joined(left.powers, right.powers, operation === "*" ? 1 : -1),
      dimension: isScaled ? (right.powers.size === 0 ? left.dimension : right.dimension) : undefined,
      isPoint: false,
      zero: ZERO,
    }
  }
}

/** Why one is none of the other; undefined if they are alike. `otherwise`: what to say of those that nobody mixes up. */
function whyUnlike(one: Worth, other: Worth, otherwise: string): string | undefined {
  const why = whyApart(one.dimension ?? "", other.dimension ?? "")
  const isApart = why !== undefined && !one.powers.has("dB")
  return areSame(one.powers, other.powers) && !isApart ? undefined : `${why ?? otherwise}.`
}

function worthOf(formula: GraphFormula, its: Unit): Worth {
  const { powers, size } = madeOf(its)
  const isPoint = its.zero.top !== 0n || its.dimension === "power level"
  return { formula: scaled(formula, size), powers, dimension: its.dimension, isPoint, zero: its.zero }
}

/** A formula times a number. A division by a whole number is exact where its inverse isn't. */
function scaled(formula: GraphFormula, by: Fraction): GraphFormula {
  const [factor, inverse] = [toNumber(by), toNumber(divide(ONE, by))]
  if (factor === 1) return formula
  if (typeof formula === "number") return toNumber(multiply(by, fractionOfNumber(formula)))
  return Number.isInteger(inverse) ? ["/", formula, inverse] : ["*", formula, factor]
}

/** What an expression comes to, in the unit of its reading. */
function inTarget(worth: Worth, target: Unit, span: Span, report: Report): GraphFormula | undefined {
  const own = worthOf(0, target)
  const unlike = whyUnlike(worth, own, "Change the unit of the reading, or how it is worked out")
  if (unlike !== undefined)
    return report.say(
      "unit-mismatch",
      span,
      `This is ${worth.dimension === undefined ? "of other units" : `of the dimension ${worth.dimension}`}; the reading is in \`${target.symbol}\`.`,
      { help: unlike },
    )
  if (own.isPoint !== worth.isPoint && (own.isPoint || worth.dimension === "power level"))
    return report.say(
      "unit-mismatch",
      span,
      own.isPoint
        ? `This is a difference, and \`${target.symbol}\` counts from a zero point of its own.`
        : `This counts from a zero point of its own, and \`${target.symbol}\` says a difference.`,
      {
        help:
          target.dimension === "temperature"
            ? "Differences of temperature are in `K`."
            : "Differences of level are in `dB`.",
      },
    )
  const shift = toNumber(subtract(worth.zero, target.zero))
  const shifted = shift === 0 ? worth.formula : (["+", worth.formula, shift] as const)
  return scaled(shifted, divide(ONE, madeOf(target).size))
}
