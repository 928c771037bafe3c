/** The estimates as edits of the source: numbers alone, so that comments and layout stay as they are. */

import { applyToFiles } from "../../diagnostics/apply-edits.ts"
import type { Change } from "../../diagnostics/diagnostic.ts"
import { addTo, at } from "../../run/lookup.ts"
import type { Share } from "../stats/wilson.ts"
import { sum } from "./counts.ts"
import type { Known } from "./information.ts"
import { type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters, type RateKind, type Written } from "./parameters.ts"

/** One number that changes. */
export interface NumberChange {
  readonly kind: "odds" | "second" | "unlisted" | "shows" | "normally" | RateKind
  /** What it is of: `supply_low`, `supply_low on rail`; empty for the ruleset itself. */
  readonly name: string
  readonly from: string
  readonly to: string
  /**
   * How often it was so by the cases alone, with its interval. What they do not show is counted by chance, so that a count
   * may be broken, and it makes the interval wider.
   */
  readonly seen: Share
  readonly change: Change
}

export function numberChanges(parameters: Parameters, values: Values, known: Known): NumberChange[] {
  const changes: NumberChange[] = []
  const add: AddChange = (kind, name, seen, number, to) => {
    if (number === undefined || seen === undefined || seen.of === 0 || Number(number.spelling) === Number(to))
      return
    changes.push({ kind, name, from: number.spelling, to, seen, change: { span: number.span, text: to } })
  }
  stateChanges(parameters, values, known, add)
  groupChanges(parameters, values, known, add)
  parameters.rates.forEach(({ kind, name, chance, written }, r) => {
    if (!isFree(chance)) return
    const [to = ""] = percents([at(values.rates, r), 0], [chance, 1 - chance], true)
    add(kind, name, known.rates[r], written, to)
  })
  return changes
}

type AddChange = (
  kind: NumberChange["kind"],
  name: string,
  seen: Share | undefined,
  number: Written | undefined,
  to: string,
) => void

/** Odds, second fault, unlisted. */
function stateChanges(parameters: Parameters, values: Values, known: Known, add: AddChange): void {
  const { model, odds, second, unlisted } = parameters
  const author = written(parameters)
  model.faults.forEach(({ name }, f) => {
    add("odds", name, known.odds[f], odds[f], figure(values.odds[f] ?? 0))
  })
  // The chance of one fault alone is the rest, which nobody writes.
  const [two = "", none = ""] = percents(rotated(values.states), rotated(author.states), true)
  const [, seenTwo, seenNone] = known.states
  if (isFree(author.states[1] ?? 0)) add("second", "", seenTwo, second, two)
  if (isFree(author.states[2] ?? 0)) add("unlisted", "", seenNone, unlisted, none)
}

const rotated = ([one = 0, two = 0, none = 0]: Float64Array) => [two, none, one]

function groupChanges(parameters: Parameters, values: Values, known: Known, add: AddChange): void {
  const author = written(parameters)
  parameters.groups.forEach(({ kind, name, clauses, rest }, g) => {
    const texts = percents(at(values.groups, g), at(author.groups, g), rest.length > 0)
    clauses.forEach((clause, k) => {
      if (isFree(clause.chance)) add(kind, name, known.groups[g]?.[k], clause.written, at(texts, k))
    })
  })
}

/** Significant figures, in plain digits. */
export function figure(value: number, digits = 3): string {
  const rounded = Number(value.toPrecision(digits))
  return rounded >= 1e-6 ? String(rounded) : rounded.toFixed(9).replace(/0+$/, "")
}

/**
 * Chances as percentages with so many decimals. None that is neither 0 nor 1 becomes so by rounding, and all of them
 * together are 100 %: what rounding leaves goes to the largest. The last is left out where it is the rest, which nobody
 * writes. `author`: the chances as they were, of which 0 and 1 stay.
 */
export function percents(
  chances: ArrayLike<number>,
  author: ArrayLike<number>,
  hasRest: boolean,
  decimals = 1,
): string[] {
  const whole = 100 * 10 ** decimals
  const units = Array.from(chances, (chance, k) => {
    if (!isFree(at(author, k))) return Math.round(at(author, k) * whole)
    return Math.min(whole - 1, Math.max(1, Math.round(chance * whole)))
  })
  const written = hasRest ? units.slice(0, -1) : units
  const total = sum(written)
  // A free rest keeps at least its smallest share; one that the author has at 0 % stays there.
  const restIsFree = hasRest && isFree(at(author, author.length - 1))
  const wanted = restIsFree ? Math.min(total, whole - 1) : whole
  const largest = written.indexOf(Math.max(...written))
  if (largest >= 0) addTo(written, largest, wanted - total)
  return written.map((n) => (n / 10 ** decimals).toFixed(decimals).replace(/\.?0+$/, ""))
}

/** The texts with the changes made; files without any are left out. */
export function patched(
  changes: readonly NumberChange[],
  sources: ReadonlyMap<string, string>,
): Map<string, string> {
  return applyToFiles(
    changes.map(({ change }) => change),
    sources,
  )
}
