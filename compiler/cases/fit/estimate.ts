/**
 * Estimates from cases, drawn towards what the author wrote. Each estimate is (weight × author's + count) / (weight +
 * cases): the mean of a Dirichlet or beta posterior whose prior counts as many cases as `weight` says. What a record does
 * not show (was it cured, was the owner right) is counted by its chance, over and over until the numbers stand still:
 * A. P. Dempster, N. M. Laird, D. B. Rubin, Journal of the Royal Statistical Society B 39, 1977.
 */
import type { Case } from "../record/case.ts"
import { Counter } from "./count-history.ts"
import type { Counts, Estimate } from "./counts.ts"
import { historyOf, machineFor, type Past, pastOf } from "./job-history.ts"
import { graphWith, type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters } from "./parameters.ts"

/** Below what is written, a tenth of a percent. */
const STILL = 3e-4
const MOST_ROUNDS = 100
const MOST_STRIDE = 16
/** Chances nearer to 0 or 1 are not gone ahead to. */
const LEAST = 1e-4

/** `cases`: with something confirmed. `from`: where to begin, near the end if it is known. */
export function estimate(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  from?: Values,
): Estimate {
  const author = written(parameters)
  const machine = machineFor(graphWith(parameters, author), { withRules: false })
  const jobs = cases.flatMap(({ confirmed }, i): Job[] => {
    if (confirmed.kind === "unknown") return []
    const faults = confirmed.kind === "faults" ? confirmed.faults : []
    return [{ past: pastOf(machine, cases[i]!), faults }]
  })
  const step = (values: Values) => {
    const counts = count(parameters, jobs, values)
    return { values: blend(author, counts, weight), counts }
  }
  let values = from ?? author
  for (let round = 0; round < MOST_ROUNDS; round += 2) {
    const first = step(values)
    // Nothing hidden, nothing to go round for: the second round finds the first one's numbers.
    if (distance(values, first.values) < STILL) return first
    const second = step(first.values)
    if (distance(first.values, second.values) < STILL) return second
    values = ahead(values, first.values, second.values)
  }
  return step(values)
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

/** A case as it is counted in every round. */
interface Job {
  readonly past: readonly Past[]
  /** None for something not listed. */
  readonly faults: readonly number[]
}

function count(parameters: Parameters, jobs: readonly Job[], values: Values): Counts {
  const graph = graphWith(parameters, values)
  const machine = machineFor(graph, { withRules: false })
  const counts = noCounts(parameters, values)
  const counter = new Counter(parameters, machine, machineFor(graph, { withRules: true }), counts)
  for (const { past, faults } of jobs) {
    counts.states[faults.length === 0 ? 2 : faults.length - 1]!++
    for (const fault of faults) counts.odds[fault]!++
    counter.count(historyOf(machine, past, faults))
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

/** The numbers that move from round to round; the odds are counted and don't. */
function moving({ rates, states, groups }: Values): Float64Array[] {
  return [rates, states, ...groups]
}

function distance(a: Values, b: Values): number {
  const others = moving(b)
  return moving(a).reduce(
    (most, each, g) => each.reduce((so, value, i) => Math.max(so, Math.abs(value - others[g]![i]!)), most),
    0,
  )
}

/**
 * Where two rounds lead if they go on alike (SQUAREM, scheme S3: R. Varadhan, C. Roland, Scandinavian Journal of Statistics
 * 35, 2008); the second round's numbers where that would leave what chances can be.
 */
function ahead(start: Values, first: Values, second: Values): Values {
  const [a, b, c] = [moving(start), moving(first), moving(second)]
  let [steps, bends] = [0, 0]
  for (const [g, each] of a.entries())
    each.forEach((value, i) => {
      const step = b[g]![i]! - value
      steps += step ** 2
      bends += (c[g]![i]! - b[g]![i]! - step) ** 2
    })
  if (bends === 0) return second
  const stride = Math.max(1, Math.min(MOST_STRIDE, Math.sqrt(steps / bends)))
  const led = a.map((each, g) =>
    each.map((value, i) => {
      const step = b[g]![i]! - value
      return value + 2 * stride * step + stride ** 2 * (c[g]![i]! - b[g]![i]! - step)
    }),
  )
  // Linear in the numbers, so sums stay; what is hard doesn't move.
  const isSound = led.every((each, g) =>
    each.every((value, i) => value === a[g]![i] || (value > LEAST && value < 1 - LEAST)),
  )
  const [rates, states, ...groups] = led
  return isSound && rates && states ? { odds: second.odds, rates, states, groups } : second
}
