import { insertAfter, replace } from "../diagnostics/collector.ts"
import type { Span } from "../diagnostics/diagnostic.ts"
import { excerpt } from "../diagnostics/escape.ts"
import { GREATEST } from "../run/shape.ts"
import type { Name, Quantity } from "../syntax/syntax-tree.ts"
import { COUNT, grouped } from "../wording/figures.ts"
import { withArticle } from "../wording/sentence.ts"
import type { Report } from "./codes.ts"
import {
  compare,
  divide,
  type Fraction,
  fractionOf,
  fractionOfNumber,
  isWhole,
  toNumber,
  whole,
} from "./fraction.ts"
import type { Work } from "./model.ts"
import { likelyUnit, unitToUseInstead, whyApart } from "./unit-spellings.ts"
import { convertExactly, type Sense, type Unit, unit, unitOf } from "./units.ts"

/** The number as it was typed, exactly. */
export function exact(quantity: Quantity, report: Report): Fraction | undefined {
  const fraction = fractionOf(quantity.spelling)
  if (fraction !== undefined) return fraction
  if (Number.isFinite(quantity.value)) return fractionOfNumber(quantity.value)
  return report.say(
    "out-of-range",
    quantity.span,
    `${excerpt(quantity.spelling)} is beyond any number that can be used here.`,
  )
}

/** As typed, for messages: `850 mV`, `90%`. */
export function asTyped(quantity: Quantity): string {
  return quantity.unit === undefined ? quantity.spelling : written(quantity.spelling, quantity.unit.text)
}

/** The unit of that name; an unknown one is reported. */
export function knownUnit(name: Name, report: Report): Unit | undefined {
  const known = unit(name.text)
  if (known !== undefined) return known
  const instead = unitToUseInstead(name.text)
  const near = instead ? undefined : likelyUnit(name.text)
  const other = instead ? `Give it in ${instead}` : "Use an SI symbol, like `mV`, `kohm` or `degC`"
  return report.say("unknown-unit", name.span, `\`${name.text}\` isn't a known unit.`, {
    help: near === undefined ? `${other}.` : `Did you mean \`${near}\`?`,
    edits: near === undefined ? [] : [replace(name.span, near)],
  })
}

/**
 * A quantity's value in `target`. `from` is where its unit is said if not on itself: on the other number of a pair.
 * `whose` says what asks for the unit, as in "`rail` is read in `V`".
 */
export function inUnit(
  quantity: Quantity,
  target: Unit,
  sense: Sense,
  whose: string,
  report: Report,
  from: Name | undefined = quantity.unit,
): Fraction | undefined {
  const value = exact(quantity, report)
  if (value === undefined) return undefined
  if (from === undefined) {
    if (target.symbol === COUNT) return value
    return report.say("missing-unit", quantity.span, `\`${quantity.spelling}\` has no unit.`, {
      help: `${whose}: write \`${written(quantity.spelling, target.symbol)}\`.`,
      edits: [
        insertAfter(
          quantity.span,
          target.symbol === "%" ? "%" : ` ${target.symbol}`,
          `Write \`${written(quantity.spelling, target.symbol)}\``,
        ),
      ],
    })
  }
  const source = knownUnit(from, report)
  if (source === undefined) return undefined
  const converted = convertExactly(value, source.symbol, target.symbol, sense)
  if (converted !== undefined) return converted
  return mismatch(quantity, source, target, whose, report)
}

/** Symbols that are units of their own and stand for another where a temperature is meant. */
const TEMPERATURES: Readonly<Record<string, string>> = { deg: "degC", "°": "°C", F: "degF" }

function mismatch(quantity: Quantity, source: Unit, target: Unit, whose: string, report: Report): undefined {
  const [is, needed] = [source, target].map(({ dimension }) => withArticle(dimension))
  const message = `\`${written(quantity.spelling, source.symbol)}\` is ${is}; ${needed} is needed.`
  const meant = target.dimension === "temperature" ? TEMPERATURES[source.symbol] : undefined
  const why = whyApart(source.dimension, target.dimension)
  const give = `${whose}: give the number in \`${target.symbol}\` or a unit that converts to it.`
  const help = meant === undefined ? give : `Did you mean \`${meant}\`?`
  return report.say("unit-mismatch", quantity.span, message, {
    help: why === undefined ? help : `${why}. ${help}`,
    edits: meant === undefined || quantity.unit === undefined ? [] : [replace(quantity.unit.span, meant)],
  })
}

function written(spelling: string, symbol: string): string {
  return symbol === "%" ? `${spelling}%` : `${spelling} ${symbol}`
}

const PERCENT = unitOf("%")
const MINUTE = unitOf("min")

/** A percentage as a fraction of 1. */
export function percentage(
  quantity: Quantity | undefined,
  clause: string,
  report: Report,
): Fraction | undefined {
  if (quantity === undefined) return undefined
  const value = inUnit(quantity, PERCENT, "difference", `\`${clause}\` needs a percentage`, report)
  if (value === undefined) return undefined
  if (compare(value, whole(100)) > 0) {
    return report.say("beyond-hundred", quantity.span, `\`${asTyped(quantity)}\` is more than 100%.`, {
      help: `\`${clause}\` takes a percentage from 0% to 100%.`,
    })
  }
  if (value.top < 0n) return below(quantity, `\`${clause}\` takes a percentage from 0% to 100%.`, report)
  return divide(value, whole(100))
}

/** A time in minutes, not below zero. */
export function minutes(quantity: Quantity | undefined, clause: string, report: Report): number | undefined {
  if (quantity === undefined) return undefined
  const value = inUnit(quantity, MINUTE, "difference", `\`${clause}\` needs a time`, report)
  if (value === undefined) return undefined
  if (value.top < 0n) return below(quantity, `\`${clause}\` takes a time of 0 min or more.`, report)
  return inReach(quantity, value, report)
}

/** An amount of money, not below zero, in the ruleset's own currency. */
export function money(quantity: Quantity | undefined, clause: string, report: Report): number | undefined {
  const value = bare(quantity, clause, "the amount is in the currency of `money`", report)
  if (quantity === undefined || value === undefined) return undefined
  if (value.top < 0n) return below(quantity, `\`${clause}\` takes an amount of 0 or more.`, report)
  return inReach(quantity, value, report)
}

/** A number above zero. */
export function positive(quantity: Quantity | undefined, clause: string, report: Report): number | undefined {
  const value = bare(quantity, clause, `\`${clause}\` takes a plain number`, report)
  if (quantity === undefined || value === undefined) return undefined
  if (value.top > 0n) return inReach(quantity, value, report)
  return report.say("out-of-range", quantity.span, `\`${asTyped(quantity)}\` isn't above zero.`, {
    help: `\`${clause}\` takes a number above 0.`,
  })
}

/** A whole number from 1. */
export function times(
  quantity: Quantity | undefined,
  clause: string,
  report: Report,
  most = 1_000_000,
): number | undefined {
  const value = bare(quantity, clause, `\`${clause}\` takes a plain number`, report)
  if (quantity === undefined || value === undefined) return undefined
  if (isWhole(value) && value.top > 0n && compare(value, whole(most)) <= 0) return toNumber(value)
  return report.say(
    "out-of-range",
    quantity.span,
    `\`${asTyped(quantity)}\` isn't a whole number from 1 to ${most}.`,
    {
      help: `\`${clause}\` is how often it is done: 1 or more.`,
    },
  )
}

/** What an action takes, as its three clauses say; undefined if there is none of them. */
export function work(
  clauses: Partial<Record<"takes" | "costs" | "waits", Quantity | undefined>>,
  words: "fit" | "fix",
  report: Report,
): Work | undefined {
  const takes = minutes(clauses.takes, `${words} takes`, report)
  const costs = money(clauses.costs, `${words} costs`, report)
  const waits = minutes(clauses.waits, `${words} waits`, report)
  if (takes === undefined && costs === undefined && waits === undefined) return undefined
  return { minutes: takes ?? 0, costs: costs ?? 0, waits: waits ?? 0 }
}

function bare(
  quantity: Quantity | undefined,
  clause: string,
  why: string,
  report: Report,
): Fraction | undefined {
  if (quantity === undefined) return undefined
  if (quantity.unit === undefined) return exact(quantity, report)
  const { spelling, span, unit: name } = quantity
  const head: Span = { file: span.file, start: span.start, end: Math.max(span.start, name.span.end) }
  return report.say(
    "unit-mismatch",
    name.span,
    `\`${asTyped(quantity)}\` has a unit; \`${clause}\` takes none.`,
    {
      help: `Leave the unit out: ${why}.`,
      edits: [replace(head, spelling)],
    },
  )
}

/** A number that a runner takes. */
function inReach(quantity: Quantity, value: Fraction, report: Report): number | undefined {
  const number = toNumber(value)
  if (number <= GREATEST) return number
  return report.say(
    "out-of-range",
    quantity.span,
    `\`${asTyped(quantity)}\` is more than a runner accepts.`,
    {
      help: `No amount may be above ${grouped(GREATEST)}.`,
    },
  )
}

function below(quantity: Quantity, help: string, report: Report): undefined {
  return report.say("out-of-range", quantity.span, `\`${asTyped(quantity)}\` is below zero.`, { help })
}
