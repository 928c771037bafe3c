import { at, last } from "../../run/lookup.ts"
import { type Share, wilson } from "./wilson.ts"

/** How the chances that were given held up. `score` runs from 0 (perfect) to 2. */
export interface Calibration {
  readonly cases: number
  /** Brier's score, both classes (it came true, it did not) summed. */
  readonly score: number
  readonly bins: readonly ReliabilityBin[]
}

/** Forecasts with a chance in `[from, to)`; the last bin holds 1 too. */
export interface ReliabilityBin {
  readonly from: number
  readonly to: number
  /** Mean of the chances given. */
  readonly said: number
  readonly held: Share
}

/**
 * Squared distance between a forecast and what came, summed over the classes: G. W. Brier, Monthly Weather Review 78, 1950.
 * `chances` by class, `came` the index of the class that came (outside the list: none of them).
 */
export function brier(chances: ArrayLike<number>, came: number): number {
  let sum = came >= 0 && came < chances.length ? 0 : 1
  for (let i = 0; i < chances.length; i++) sum += (at(chances, i) - (i === came ? 1 : 0)) ** 2
  return sum
}

const EDGES = [0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1]

/** What has been gathered so far, as plain data. */
export interface ReliabilitySums {
  readonly cases: number
  readonly score: number
  readonly bins: readonly { readonly cases: number; readonly said: number; readonly held: number }[]
}

/** Gathers forecasts one by one in constant memory. */
export class Reliability {
  #cases = 0
  #score = 0
  readonly #bins = EDGES.slice(1).map(() => ({ cases: 0, said: 0, held: 0 }))

  /** The `chance` that was given, and whether it came true. */
  add(chance: number, came: boolean): void {
    this.#cases++
    this.#score += brier([chance, 1 - chance], came ? 0 : 1)
    const above = EDGES.findIndex((edge, i) => i > 0 && chance < edge)
    const bin = above < 0 ? last(this.#bins) : at(this.#bins, above - 1)
    bin.cases++
    bin.said += chance
    if (came) bin.held++
  }

  get sums(): ReliabilitySums {
    return { cases: this.#cases, score: this.#score, bins: this.#bins }
  }

  join({ cases, score, bins }: ReliabilitySums): void {
    this.#cases += cases
    this.#score += score
    bins.forEach((bin, i) => {
      const sum = at(this.#bins, i)
      sum.cases += bin.cases
      sum.said += bin.said
      sum.held += bin.held
    })
  }

  result(): Calibration | undefined {
    if (this.#cases === 0) return undefined
    return {
      cases: this.#cases,
      score: this.#score / this.#cases,
      bins: this.#bins
        .map((bin, i) => ({
          from: at(EDGES, i),
          to: at(EDGES, i + 1),
          said: bin.cases ? bin.said / bin.cases : 0,
          held: wilson(bin.held, bin.cases),
        }))
        .filter((bin) => bin.held.of > 0),
    }
  }
}
