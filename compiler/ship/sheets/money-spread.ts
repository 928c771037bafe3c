/** Ranges that the rest of a job's cost is counted in, up to what the plan expects at its start. */
const RANGES = 400

/**
 * How an amount of money is spread: the chance of each range of it. What falls between two ranges is divided between them, so
 * that the mean is exact and a percentile right to a range or two.
 */
export class MoneySpread {
  readonly #width: number
  readonly #chances: readonly number[]

  /** `chances`: of 0, 1, 2 … times `width`. */
  constructor(width: number, chances: readonly number[]) {
    this.#width = width
    this.#chances = chances
  }

  /** Nothing to pay, for sure. `scale`: about how much there is to tell apart. */
  static nothing(scale: number): MoneySpread {
    return new MoneySpread(Math.max(scale, 1e-6) / RANGES, [1])
  }

  /** The same with so much more to pay. */
  plus(amount: number): MoneySpread {
    const shift = Math.floor(amount / this.#width)
    const part = amount / this.#width - shift
    const of = (range: number) => this.#chances[range] ?? 0
    const length = this.#chances.length + shift + 1
    const chances = Array.from({ length }, (_, i) => of(i - shift) * (1 - part) + of(i - shift - 1) * part)
    return new MoneySpread(this.#width, chances)
  }

  /** One of several, each with its chance; they are all of one scale. */
  mixed(others: readonly { readonly chance: number; readonly spread: MoneySpread }[]): MoneySpread {
    const chances: number[] = []
    for (const { chance, spread } of others)
      for (const [i, each] of spread.#chances.entries()) chances[i] = (chances[i] ?? 0) + chance * each
    return new MoneySpread(this.#width, chances)
  }

  get mean(): number {
    return this.#chances.reduce((sum, chance, i) => sum + chance * i * this.#width, 0)
  }

  /** The amount that is not passed with this chance. */
  percentile(share: number): number {
    let sum = 0
    const place = this.#chances.findIndex((chance) => {
      sum += chance
      return sum >= share - 1e-12
    })
    return Math.max(0, place) * this.#width
  }
}
