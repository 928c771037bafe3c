/**
 * Estimates from cases, drawn towards what the author wrote. Each estimate is (weight × author's + count) / (weight +
 * cases): the mean of a Dirichlet or beta posterior whose prior counts as many cases as `weight` says. What a record does
 * not show (was it cured, was the owner right) is counted by its chance, over and over until the numbers stand still:
 * A. P. Dempster, N. M. Laird, D. B. Rubin, Journal of the Royal Statistical Society B 39, 1977.
 */
import { addTo, at } from "../../run/lookup.ts"
import type { Machine } from "../../run/machine.ts"
import { Counter } from "./count-history.ts"
import { type Counts, type Estimate, sum } from "./counts.ts"
import type { Histories, JobPast } from "./histories.ts"
import { historyOf, machineFor } from "./job-history.ts"
import { oddsShares } from "./odds.ts"
import { graphWith, type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters } from "./parameters.ts"

/** Below what is written, a tenth of a percent. */
const STILL = 3e-4
const MOST_ROUNDS = 100
const MOST_STRIDE = 16
/** Chances nearer to 0 or 1 are not gone ahead to. */
const LEAST = 1e-4

export interface EstimateOptions {
  /** How often each distinct case counts; by default as often as it came. */
  readonly times?: Float64Array
  /** Where to begin, near the end if it is known. */
  readonly from?: Values
}

export function estimate(
  parameters: Parameters,
  histories: Histories,
  weight: number,
  { times = histories.cases.times, from }: EstimateOptions = {},
): Estimate {
  const author = written(parameters)
  const step = (values: Values) => {
    const counts = count(parameters, histories, times, values)
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
    groups: groups.map((_, g) => new Float64Array(at(values.groups, g).length)),
    could: new Float64Array(rates.length),
    did: new Float64Array(rates.length),
  }
}

function count(parameters: Parameters, histories: Histories, times: Float64Array, values: Values): Counts {
  const counting = new Counting(parameters, values)
  times.forEach((often, at) => {
    if (often > 0) counting.add(histories.of(at), often)
  })
  return counting.counts
}

/** Counts jobs by the chances that some values give. */
export class Counting {
  readonly counts: Counts
  readonly #machine: Machine
  readonly #counter: Counter

  constructor(parameters: Parameters, values: Values) {
    const graph = graphWith(parameters, values)
    this.counts = noCounts(parameters, values)
    this.#machine = machineFor(graph, { withRules: false })
    const withRules = machineFor(graph, { withRules: true })
    this.#counter = new Counter(parameters, this.#machine, withRules, this.counts)
  }

  add({ past, faults }: JobPast, times: number): void {
    addTo(this.counts.states, faults.length === 0 ? 2 : faults.length - 1, times)
    for (const fault of faults) addTo(this.counts.odds, fault, times)
    this.#counter.count(historyOf(this.#machine, past, faults), times)
  }
}

function blend(author: Values, counts: Counts, weight: number): Values {
  const total = sum(author.odds)
  return {
    odds: oddsShares(counts, author.odds, weight).map((share) => total * share),
    states: blendShares(author.states, counts.states, weight),
    groups: author.groups.map((chances, g) => blendShares(chances, at(counts.groups, g), weight)),
    rates: author.rates.map((chance, r) =>
      isFree(chance) ? (weight * chance + at(counts.did, r)) / (weight + at(counts.could, r)) : chance,
    ),
  }
}

/** What the author has at 0 % or 100 % stays there, and takes no part in the counting. */
function blendShares(author: Float64Array, counts: Float64Array, weight: number): Float64Array {
  const seen = counts.map((n, k) => (isFree(at(author, k)) ? n : 0))
  const all = sum(seen)
  return author.map((chance, k) =>
    isFree(chance) ? (weight * chance + at(seen, k)) / (weight + all) : chance,
  )
}

/** The numbers that move from round to round; the odds are counted and don't. */
function moving({ rates, states, groups }: Values): Float64Array[] {
  return [rates, states, ...groups]
}

function distance(a: Values, b: Values): number {
  const others = moving(b)
  return moving(a).reduce(
    (most, each, g) =>
      each.reduce((so, value, i) => Math.max(so, Math.abs(value - at(at(others, g), i))), most),
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
      const step = at(at(b, g), i) - value
      steps += step ** 2
      bends += (at(at(c, g), i) - at(at(b, g), i) - step) ** 2
    })
  if (bends === 0) return second
  const stride = Math.max(1, Math.min(MOST_STRIDE, Math.sqrt(steps / bends)))
  const led = a.map((each, g) =>
    each.map((value, i) => {
      const step = at(at(b, g), i) - value
      return value + 2 * stride * step + stride ** 2 * (at(at(c, g), i) - at(at(b, g), i) - step)
    }),
  )
  // Linear in the numbers, so sums stay; what is hard doesn't move.
  const isSound = led.every((each, g) =>
    each.every((value, i) => value === at(a, g)[i] || (value > LEAST && value < 1 - LEAST)),
  )
  const [rates, states, ...groups] = led
  return isSound && rates && states ? { odds: second.odds, rates, states, groups } : second
}
