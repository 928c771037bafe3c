import { at } from "../../run/lookup.ts"
import { type MeanSums, RunningMean } from "./running-mean.ts"
import { Z95 } from "./wilson.ts"

/** Mean of two paired amounts and of their difference (`walked` − `recorded`), with a 95 % interval of the difference. */
export interface Paired {
  readonly cases: number
  readonly walked: number
  readonly recorded: number
  readonly difference: number
  /** Of a single pair both are the difference: how far others may be from it is not known. */
  readonly low: number
  readonly high: number
  /** Percentile bootstrap up to 2,000 pairs (2,000 resamples, fixed seed), the normal interval above. */
  readonly method: "bootstrap" | "normal"
}

const KEEP = 2000
const RESAMPLES = 2000

/** What has been gathered so far, as plain data; mean and squares are those of the differences. */
export interface PairedSums extends MeanSums {
  readonly walked: number
  readonly recorded: number
  readonly kept: readonly number[]
}

/** Gathers pairs one by one in bounded memory; the same pairs, in any order, always give the same interval. */
export class PairedMeans {
  readonly #differences = new RunningMean()
  #walked = 0
  #recorded = 0
  #kept: number[] = []

  add(walked: number, recorded: number): void {
    const difference = walked - recorded
    this.#differences.add(difference)
    this.#walked += walked
    this.#recorded += recorded
    if (this.#differences.count <= KEEP) this.#kept.push(difference)
  }

  get sums(): PairedSums {
    const { sums } = this.#differences
    return { ...sums, walked: this.#walked, recorded: this.#recorded, kept: this.#kept }
  }

  /** Joins what was gathered elsewhere. */
  join({ walked, recorded, kept, ...differences }: PairedSums): void {
    if (differences.n === 0) return
    this.#differences.join(differences)
    this.#walked += walked
    this.#recorded += recorded
    if (this.#differences.count <= KEEP) this.#kept.push(...kept)
    else this.#kept = []
  }

  result(): Paired | undefined {
    const { count } = this.#differences
    if (count === 0) return undefined
    const [low, high] = count <= KEEP ? bootstrap(this.#kept.toSorted((a, b) => a - b)) : this.#normal()
    return {
      cases: count,
      walked: this.#walked / count,
      recorded: this.#recorded / count,
      difference: this.#differences.result.mean,
      low,
      high,
      method: count <= KEEP ? "bootstrap" : "normal",
    }
  }

  #normal(): [number, number] {
    const { mean, error } = this.#differences.result
    return [mean - Z95 * error, mean + Z95 * error]
  }
}

/** Percentile interval of the mean: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap, 1993, ch. 13. */
export function bootstrap(values: readonly number[], seed = 1): [number, number] {
  const random = generator(seed)
  const means = new Float64Array(RESAMPLES)
  for (let r = 0; r < RESAMPLES; r++) {
    const sum = values.reduce((so) => so + at(values, Math.floor(random() * values.length)), 0)
    means[r] = sum / values.length
  }
  means.sort()
  return [at(means, Math.floor(0.025 * RESAMPLES)), at(means, Math.ceil(0.975 * RESAMPLES) - 1)]
}

/** Seeded, so that a report never changes by itself: xorshift32 (G. Marsaglia, Journal of Statistical Software 8, 2003). */
function generator(seed: number): () => number {
  let x = (seed ^ 0x9e3779b9) | 0
  return () => {
    x ^= x << 13
    x ^= x >>> 17
    x ^= x << 5
    return (x >>> 0) / 4294967296
  }
}
