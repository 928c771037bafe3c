export interface Mean {
  readonly mean: number
  /** Standard error of the mean. */
  readonly error: number
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

  /** Of no values there is no mean, and how far others may be from a single one is not known. */
  get result(): Mean {
    const n = this.#n
    return {
      mean: n > 0 ? this.#mean : Number.NaN,
      error: n > 1 ? Math.sqrt(this.#squares / (n - 1) / n) : Number.NaN,
    }
  }
}
