import { type Share, wilson } from "./wilson.ts"

/** How the chances that were given held up. `score` runs from 0 (perfect) to 2. */
export interface Calibration {
  readonly cases: number
  /** Brier's score of the verdict's chance, both classes (mended, not mended) summed. */
  readonly score: number
  /** Brier's score over all faults: the whole list of candidates against the confirmed fault. */
  readonly faults: number
  readonly bins: readonly ReliabilityBin[]
}

/** Verdicts given with a chance in `[from, to)`; the last bin holds 1 too. */
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
  for (let i = 0; i < chances.length; i++) sum += (chances[i]! - (i === came ? 1 : 0)) ** 2
  return sum
}

const edges = [0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1]

/** What has been gathered so far, as plain data. */
export interface ReliabilitySums {
  readonly cases: number
  readonly score: number
  readonly faults: number
  readonly bins: readonly { readonly cases: number; readonly said: number; readonly held: number }[]
}

/** Gathers forecasts one by one in constant memory. */
export class Reliability {
  #cases = 0
  #score = 0
  #faults = 0
  readonly #bins = edges.slice(1).map(() => ({ cases: 0, said: 0, held: 0 }))

  /** `chance` that the verdict's remedy mends, whether it does, and Brier's score of the list of candidates. */
  add(chance: number, mends: boolean, faults: number): void {
    this.#cases++
    this.#score += brier([chance, 1 - chance], mends ? 0 : 1)
    this.#faults += faults
    let at = 0
    while (at < this.#bins.length - 1 && chance >= edges[at + 1]!) at++
    const bin = this.#bins[at]!
    bin.cases++
    bin.said += chance
    if (mends) bin.held++
  }

  get sums(): ReliabilitySums {
    return { cases: this.#cases, score: this.#score, faults: this.#faults, bins: this.#bins }
  }

  join({ cases, score, faults, bins }: ReliabilitySums): void {
    this.#cases += cases
    this.#score += score
    this.#faults += faults
    bins.forEach((bin, i) => {
      this.#bins[i]!.cases += bin.cases
      this.#bins[i]!.said += bin.said
      this.#bins[i]!.held += bin.held
    })
  }

  result(): Calibration | undefined {
    if (this.#cases === 0) return undefined
    return {
      cases: this.#cases,
      score: this.#score / this.#cases,
      faults: this.#faults / this.#cases,
      bins: this.#bins
        .map((bin, i) => ({
          from: edges[i]!,
          to: edges[i + 1]!,
          said: bin.cases ? bin.said / bin.cases : 0,
          held: wilson(bin.held, bin.cases),
        }))
        .filter((bin) => bin.held.of > 0),
    }
  }
}
