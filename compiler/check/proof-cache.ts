import { BudgetSpent } from "./logic/budget.ts"

/**
 * Proofs of the last run, by the content that they rest on: conditions, distributions and the `never`s linked to them,
 * spelled without spans. While somebody types, a check finds all proofs here but those of what was touched.
 * A question that ran out of its budget is kept too, and isn't asked again: it would run out again.
 * A value speaks of its subjects by their place in the key, never by an index of the model, which an edit may shift.
 */
export class ProofCache {
  /** Proofs made, and proofs taken from the run before, since `begin`. */
  made = 0
  reused = 0
  #last = new Map<string, unknown>()
  #now = new Map<string, unknown>()
  /** Numbers given to texts so far. */
  #given = 0

  /** Starts a run: what the run before did not use is forgotten. */
  begin(): void {
    this.#last = this.#now
    this.#now = new Map()
    this.made = 0
    this.reused = 0
  }

  /** A number for a text, to keep keys short: the same as in the run before, and never that of another text. */
  number(text: string): number {
    const key = `number of ${text}`
    const number = this.hint<number>(key) ?? ++this.#given
    this.keep(key, number)
    return number
  }

  /** Whether a proof can be had without making it. */
  knows(key: string): boolean {
    return this.#now.has(key) || this.#last.has(key)
  }

  prove<T>(key: string, prove: () => T): T {
    if (!this.#now.has(key)) {
      const isKnown = this.#last.has(key)
      this.#now.set(key, isKnown ? this.#last.get(key) : valueOrSpent(prove))
      if (isKnown) this.reused++
      else this.made++
    }
    const value = this.#now.get(key) as T | BudgetSpent
    if (value instanceof BudgetSpent) throw value
    return value
  }

  /** What the last run kept under a key that says where to look rather than what was proved. */
  hint<T>(key: string): T | undefined {
    return (this.#now.get(key) ?? this.#last.get(key)) as T | undefined
  }

  keep(key: string, value: unknown): void {
    this.#now.set(key, value)
  }
}

export function valueOrSpent<T>(compute: () => T): T | BudgetSpent {
  try {
    return compute()
  } catch (error) {
    if (error instanceof BudgetSpent) return error
    throw error
  }
}
