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

const keep = 2000
const resamples = 2000

/** What has been gathered so far, as plain data; `squares` are the squared deviations of the differences. */
export interface PairedSums {
  readonly n: number
  readonly walked: number
  readonly recorded: number
  readonly mean: number
  readonly squares: number
  readonly kept: readonly number[]
}

/** Gathers pairs one by one in bounded memory; the same pairs, in any order, always give the same interval. */
export class PairedMeans {
  #n = 0
  #walked = 0
  #recorded = 0
  #mean = 0
  #squares = 0
  #kept: number[] = []

  add(walked: number, recorded: number): void {
    const difference = walked - recorded
    this.#n++
    this.#walked += walked
    this.#recorded += recorded
    const step = difference - this.#mean
    this.#mean += step / this.#n
    this.#squares += step * (difference - this.#mean)
    if (this.#n <= keep) this.#kept.push(difference)
  }

  get sums(): PairedSums {
    return {
      n: this.#n,
      walked: this.#walked,
      recorded: this.#recorded,
      mean: this.#mean,
      squares: this.#squares,
      kept: this.#kept,
    }
  }

  /** Joins what was gathered elsewhere: T. F. Chan, G. H. Golub, R. J. LeVeque, The American Statistician 37, 1983. */
  join({ n, walked, recorded, mean, squares, kept }: PairedSums): void {
    if (n === 0) return
    const all = this.#n + n
    const apart = mean - this.#mean
    this.#squares += squares + (apart * apart * this.#n * n) / all
    this.#mean += (apart * n) / all
    this.#n = all
    this.#walked += walked
    this.#recorded += recorded
    if (all <= keep) this.#kept.push(...kept)
    else this.#kept = []
  }

  result(): Paired | undefined {
    if (this.#n === 0) return undefined
    const [low, high] = this.#n <= keep ? bootstrap(this.#kept.toSorted((a, b) => a - b)) : this.#normal()
    return {
      cases: this.#n,
      walked: this.#walked / this.#n,
      recorded: this.#recorded / this.#n,
      difference: this.#mean,
      low,
      high,
      method: this.#n <= keep ? "bootstrap" : "normal",
    }
  }

  #normal(): [number, number] {
    const reach = Z95 * Math.sqrt(this.#squares / (this.#n - 1) / this.#n)
    return [this.#mean - reach, this.#mean + reach]
  }
}

/** Percentile interval of the mean: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap, 1993, ch. 13. */
export function bootstrap(values: readonly number[], seed = 1): [number, number] {
  const random = generator(seed)
  const means = new Float64Array(resamples)
  for (let r = 0; r < resamples; r++) {
    let sum = 0
    for (let i = 0; i < values.length; i++) sum += values[Math.floor(random() * values.length)]!
    means[r] = sum / values.length
  }
  means.sort()
  return [means[Math.floor(0.025 * resamples)]!, means[Math.ceil(0.975 * resamples) - 1]!]
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
