/**
 * Estimates from cases, drawn towards what the author wrote. Each estimate is (weight × author's + count) / (weight +
 * cases): the mean of a Dirichlet or beta posterior whose prior counts as many cases as `weight` says. What a record does
 * not show (was it cured, was the owner right) is counted by its chance, over and over until the numbers stand still:
 * A. P. Dempster, N. M. Laird, D. B. Rubin, Journal of the Royal Statistical Society B 39, 1977.
 */
import type { Case } from "../record/case.ts"
import { chain, type Seen } from "./hidden-markov-model.ts"
import { categoryOf, Numbers, type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters } from "./parameters.ts"

/** How many observations an estimate rests on, beside the values: fractions where some are counted by chance. */
export interface Counts {
  /** By fault: cases in which it was confirmed. */
  readonly odds: Float64Array
  /** By group: observations in each category. */
  readonly groups: readonly Float64Array[]
  /** By rate: how often it could have happened, and did. */
  readonly could: Float64Array
  readonly did: Float64Array
}

/** Far below what is written, a tenth of a percent. */
const still = 1e-5
const mostRounds = 100

/** `from`: where to begin, near the end if it is known. */
export function estimate(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  from?: Values,
): { readonly values: Values; readonly counts: Counts } {
  const author = written(parameters)
  let values = from ?? author
  for (let round = 1; ; round++) {
    const counts = count(parameters, cases, values)
    const next = blend(author, counts, weight)
    const moved = distance(values, next)
    values = next
    // Nothing hidden, nothing to go round for: the second round finds the first one's numbers.
    if (moved < still || round >= mostRounds) return { values, counts }
  }
}

function count(parameters: Parameters, cases: readonly Case[], values: Values): Counts {
  const { model, groups, rates } = parameters
  const numbers = new Numbers(parameters, values)
  const counts: Counts = {
    odds: new Float64Array(model.faults.length),
    groups: groups.map((_, g) => new Float64Array(values.groups[g]!.length)),
    could: new Float64Array(rates.length),
    did: new Float64Array(rates.length),
  }
  for (const record of cases) {
    if (record.truth.known !== "listed") continue
    const { fault } = record.truth
    counts.odds[fault]!++
    for (const seen of chain(model, record, fault, numbers, true).seen)
      observe(parameters, numbers, counts, fault, seen)
  }
  return counts
}

function observe(
  parameters: Parameters,
  numbers: Numbers,
  counts: Counts,
  fault: number,
  { event, uu, uc, cc }: Seen,
): void {
  const { model, groupOf, groups } = parameters
  const note = (reading: number, cell: number, own: number | undefined, chance: number) => {
    const all = groupOf[reading]!
    const shown = own === undefined ? -1 : all[own]!
    const at = shown >= 0 ? shown : all[model.faults.length]!
    if (at >= 0 && chance > 0) counts.groups[at]![categoryOf(groups[at]!, cell)]! += chance
  }
  const rate = (at: number | undefined, could: number, did: number) => {
    if (at === undefined || at < 0) return
    counts.could[at]! += could
    counts.did[at]! += did
  }
  if (event.kind === "told") {
    const { reading, cell } = event
    const trust = numbers.trust(reading)
    const meant = (trust * numbers.plain(reading, cell, fault)) / numbers.told(reading, cell, fault)
    rate(parameters.trust[reading], 1, meant)
    note(reading, cell, fault, meant)
  } else if (event.kind === "read") {
    const active = event.out ? 0 : uu
    note(event.reading, event.cell, fault, active)
    note(event.reading, event.cell, undefined, 1 - active)
  } else {
    const { place } = model.faults[fault]!
    rate(parameters.cures[event.test]!.get(place), uu + uc, uc)
    if (event.out || uu + uc + cc === 0) return
    const { tries } = model.tests[event.test]!
    const recurs = numbers.recurs(fault)
    // Of the tries of a look that saw the complaint: how many, of those that would have been made, given at least one.
    const saw = event.gone ? 0 : (tries * recurs) / (1 - (1 - recurs) ** tries)
    rate(parameters.recurs[fault], uu * tries, uu * saw)
  }
}

function blend(author: Values, counts: Counts, weight: number): Values {
  const total = author.odds.reduce((sum, odds) => sum + odds, 0)
  const cases = counts.odds.reduce((sum, n) => sum + n, 0)
  return {
    odds: author.odds.map(
      (odds, f) => (total * (weight * (odds / total) + counts.odds[f]!)) / (weight + cases),
    ),
    groups: author.groups.map((chances, g) => {
      // What the author has at 0 % or 100 % stays there, and takes no part in the counting.
      const seen = counts.groups[g]!.map((n, k) => (isFree(chances[k]!) ? n : 0))
      const all = seen.reduce((sum, n) => sum + n, 0)
      return chances.map((chance, k) =>
        isFree(chance) ? (weight * chance + seen[k]!) / (weight + all) : chance,
      )
    }),
    rates: author.rates.map((chance, r) =>
      isFree(chance) ? (weight * chance + counts.did[r]!) / (weight + counts.could[r]!) : chance,
    ),
  }
}

function distance(a: Values, b: Values): number {
  const apart = (x: Float64Array, y: Float64Array) =>
    x.reduce((most, value, i) => Math.max(most, Math.abs(value - y[i]!)), 0)
  return Math.max(apart(a.rates, b.rates), ...a.groups.map((group, g) => apart(group, b.groups[g]!)), 0)
}
