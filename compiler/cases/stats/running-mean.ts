export interface Mean {
  readonly mean: number
  /** Standard error of the mean. */
  readonly error: number
}

/** What has been gathered so far, as plain data; `squares` are the squared deviations from the mean. */
export interface MeanSums {
  readonly n: number
  readonly mean: number
  readonly squares: number
}

/** Mean and spread, one value at a time (B. P. Welford, Technometrics 4, 1962). */
export class RunningMean {
  #n = 0
  #mean = 0
  #squares = 0

  add(value: number): void {
    const apart = value - this.#mean
    this.#n++
    this.#mean += apart / this.#n
    this.#squares += apart * (value - this.#mean)
  }

  get count(): number {
    return this.#n
  }

  get sums(): MeanSums {
    return { n: this.#n, mean: this.#mean, squares: this.#squares }
  }

  /** Joins what was gathered elsewhere: T. F. Chan, G. H. Golub, R. J. LeVeque, The American Statistician 37, 1983. */
  join({ n, mean, squares }: MeanSums): void {
    if (n === 0) return
    const all = this.#n + n
    const apart = mean - this.#mean
    this.#squares += squares + (apart * apart * this.#n * n) / all
    this.#mean += (apart * n) / all
    this.#n = all
  }

  /** Of no values there is no mean, and how far others may be from a single one is not known. */
  get result(): Mean {
    const n = this.#n
    return {
      mean: n > 0 ? this.#mean : Number.NaN,
      error: n > 1 ? Math.sqrt(this.#squares / (n - 1) / n) : Number.NaN,
    }
  }
}
