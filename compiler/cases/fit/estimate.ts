/**
 * Estimates from cases, drawn towards what the author wrote. Each estimate is (weight × author's + count) / (weight +
 * cases): the mean of a Dirichlet or beta posterior whose prior counts as many cases as `weight` says. What a record does
 * not show (was it cured, was the owner right) is counted by its chance, over and over until the numbers stand still:
 * A. P. Dempster, N. M. Laird, D. B. Rubin, Journal of the Royal Statistical Society B 39, 1977. How far a rule is to be
 * trusted is estimated in `rule-trust.ts`.
 */
import type { Case } from "../record/case.ts"
import { countHistory } from "./count-history.ts"
import type { Counts, Estimate } from "./counts.ts"
import { historyOf, machineFor } from "./job-history.ts"
import { graphWith, type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters } from "./parameters.ts"
import { ruleTrust } from "./rule-trust.ts"

/** Far below what is written, a tenth of a percent. */
const STILL = 1e-5
const MOST_ROUNDS = 100

/** `cases`: with something confirmed. `from`: where to begin, near the end if it is known. */
export function estimate(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  from?: Values,
): Estimate {
  const author = written(parameters)
  let values = from ?? author
  for (let round = 1; ; round++) {
    const counts = count(parameters, cases, values)
    const next = blend(author, counts, weight)
    const moved = distance(values, next)
    values = next
    // Nothing hidden, nothing to go round for: the second round finds the first one's numbers.
    if (moved >= STILL && round < MOST_ROUNDS) continue
    return ruleTrust(parameters, cases, weight, { values, counts })
  }
}

function noCounts({ model, groups, rates }: Parameters, values: Values): Counts {
  return {
    odds: new Float64Array(model.faults.length),
    states: new Float64Array(3),
    groups: groups.map((_, g) => new Float64Array(values.groups[g]!.length)),
    could: new Float64Array(rates.length),
    did: new Float64Array(rates.length),
  }
}

function count(parameters: Parameters, cases: readonly Case[], values: Values): Counts {
  const machine = machineFor(graphWith(parameters, values), { withRules: false })
  const counts = noCounts(parameters, values)
  for (const record of cases) {
    const { confirmed } = record
    if (confirmed.kind === "unknown") continue
    const faults = confirmed.kind === "faults" ? confirmed.faults : []
    counts.states[faults.length === 0 ? 2 : faults.length - 1]!++
    for (const fault of faults) counts.odds[fault]!++
    countHistory(parameters, machine, historyOf(machine, record, faults), counts)
  }
  return counts
}

function blend(author: Values, counts: Counts, weight: number): Values {
  const total = author.odds.reduce((sum, odds) => sum + odds, 0)
  const confirmed = counts.odds.reduce((sum, n) => sum + n, 0)
  return {
    odds: author.odds.map(
      (odds, f) => (total * (weight * (odds / total) + counts.odds[f]!)) / (weight + confirmed),
    ),
    states: blendShares(author.states, counts.states, weight),
    groups: author.groups.map((chances, g) => blendShares(chances, counts.groups[g]!, weight)),
    rates: author.rates.map((chance, r) =>
      isFree(chance) ? (weight * chance + counts.did[r]!) / (weight + counts.could[r]!) : chance,
    ),
  }
}

/** What the author has at 0 % or 100 % stays there, and takes no part in the counting. */
function blendShares(author: Float64Array, counts: Float64Array, weight: number): Float64Array {
  const seen = counts.map((n, k) => (isFree(author[k]!) ? n : 0))
  const all = seen.reduce((sum, n) => sum + n, 0)
  return author.map((chance, k) => (isFree(chance) ? (weight * chance + seen[k]!) / (weight + all) : chance))
}

function distance(a: Values, b: Values): number {
  const apart = (x: Float64Array, y: Float64Array) =>
    x.reduce((most, value, i) => Math.max(most, Math.abs(value - y[i]!)), 0)
  return Math.max(
    apart(a.rates, b.rates),
    apart(a.states, b.states),
    ...a.groups.map((group, g) => apart(group, b.groups[g]!)),
  )
}
