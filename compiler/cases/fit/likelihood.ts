/**
 * The interval of a chance by its likelihood: all values at which the logarithm of the profile likelihood is at most half
 * the 95 % quantile of χ² below its top (D. J. Venzon, S. H. Moolgavkar, Applied Statistics 37, 1988). Where a number is
 * known only together with others, that reaches further on the one side than on the other. The profile is followed on a
 * straight line, on which the others go along as their errors do, and summed up from its slopes, which the counts give.
 */
import { at } from "../../run/lookup.ts"
import { Z95 } from "../stats/wilson.ts"
import { countAll } from "./estimate.ts"
import { countsOf, errorInSight, type Unit } from "./hidden-units.ts"
import type { Histories } from "./histories.ts"
import type { Values } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"

export interface Interval {
  readonly low: number
  readonly high: number
}

const DROP = Z95 ** 2 / 2
/** The line is followed this much further than the interval that it begins with. */
const BEYOND = 1.5
const STEPS = 300
/** Chances nearer to 0 or 1 are not gone to. */
const LEAST = 1e-3

export class Likelihood {
  readonly #parameters: Parameters
  readonly #histories: Histories
  readonly #values: Values
  readonly #units: readonly Unit[]
  readonly #spread: readonly Float64Array[]

  /** `values`: where the likelihood is at its top, nearly; `spread`: how the errors of the units go together there. */
  constructor(
    parameters: Parameters,
    histories: Histories,
    values: Values,
    units: readonly Unit[],
    spread: readonly Float64Array[],
  ) {
    this.#parameters = parameters
    this.#histories = histories
    this.#values = values
    this.#units = units
    this.#spread = spread
  }

  /** Of the first chance of a unit that has one; `about`: an interval of its size. */
  interval(unit: Unit, about: Interval): Interval {
    const from = logit(at(unit.chances, 0))
    const [down, up] = [logit(about.low) - from, logit(about.high) - from]
    const places = [down, down / 2, 0, up / 2, up]
    const slope = through(
      places,
      places.map((place) => this.#slope(unit, place)),
    )
    const [low, high] = region(slope, BEYOND * down, BEYOND * up)
    return { low: chanceOf(from + low), high: chanceOf(from + high) }
  }

  /** How fast the logarithm of the likelihood rises where the log odds of the unit are so far from the top. */
  #slope(unit: Unit, away: number): number {
    const own = at(this.#spread, unit.at)
    const along = (coordinate: number) =>
      at(own, coordinate) / at(own, unit.at) / errorInSight(at(unit.chances, 0), unit.of)
    const moved = this.#units.map((each) => movedBy(each, (i) => along(each.at + i) * away))
    const counts = countAll(this.#parameters, this.#histories, this.#valuesAt(moved))
    let slope = 0
    for (const [u, each] of this.#units.entries()) {
      const all = countsOf(each, counts)
      const n = all.reduce((sum, count) => sum + count, 0)
      each.chances.forEach((p, i) => {
        slope += (at(all, i) - n * at(at(moved, u), i)) * errorInSight(p, each.of) * along(each.at + i)
      })
    }
    return slope
  }

  #valuesAt(chances: readonly (readonly number[])[]): Values {
    const rates = this.#values.rates.slice()
    const groups = [...this.#values.groups]
    for (const [u, { list, index, categories }] of this.#units.entries()) {
      const [first = 0] = at(chances, u)
      if (list === "rates") rates[index] = first
      else {
        const group = at(groups, index).slice()
        const whole = categories.reduce((sum, k) => sum + at(group, k), 0)
        for (const [i, k] of categories.entries()) group[k] = whole * at(at(chances, u), i)
        groups[index] = group
      }
    }
    return { ...this.#values, rates, groups }
  }
}

/** All chances of a unit after its coordinates went so far. */
function movedBy({ chances, of }: Unit, by: (coordinate: number) => number): number[] {
  const last = 1 - chances.reduce((sum, p) => sum + p, 0)
  const odds = chances.map((p, i) => (p / last) * Math.exp(by(i) * errorInSight(p, of)))
  const all = 1 + odds.reduce((sum, each) => sum + each, 0)
  return [...odds, 1].map((each) => each / all)
}

/** The polynomial through these points (I. Newton's divided differences). */
function through(places: readonly number[], values: readonly number[]): (place: number) => number {
  const divided = [...values]
  for (let order = 1; order < places.length; order++)
    for (let i = places.length - 1; i >= order; i--)
      divided[i] = (at(divided, i) - at(divided, i - 1)) / (at(places, i) - at(places, i - order))
  return (place) => divided.reduceRight((sum, each, i) => sum * (place - at(places, i)) + each, 0)
}

/** Around its top, where the sum of these slopes is within `DROP` of it; `from` below 0, `to` above. */
function region(slope: (place: number) => number, from: number, to: number): [number, number] {
  const step = (to - from) / STEPS
  const heights = [0]
  for (let i = 0; i < STEPS; i++) heights.push(at(heights, i) + step * slope(from + (i + 0.5) * step))
  let top = Math.round(-from / step)
  const isHigher = (i: number) => (heights[i] ?? Number.NEGATIVE_INFINITY) > at(heights, top)
  while (isHigher(top + 1)) top++
  while (isHigher(top - 1)) top--
  const least = at(heights, top) - DROP
  const end = (by: 1 | -1) => {
    let i = top
    while (i + by >= 0 && i + by <= STEPS && at(heights, i + by) > least) i += by
    const next = heights[i + by]
    const part = next === undefined ? 0 : (at(heights, i) - least) / (at(heights, i) - next)
    return from + (i + by * part) * step
  }
  return [end(-1), end(1)]
}

function logit(chance: number): number {
  const inside = Math.min(1 - LEAST, Math.max(LEAST, chance))
  return Math.log(inside / (1 - inside))
}

const chanceOf = (logOdds: number) => 1 / (1 + Math.exp(-logOdds))
