/**
 * Proofs of the last run, by the content that they rest on: conditions, distributions and the `never`s linked to them,
 * spelled without spans. While somebody types, a check finds all proofs here but those of what was touched.
 * A value speaks of its subjects by their place in the key, never by an index of the model, which an edit may shift.
 */
export class ProofCache {
  /** Proofs made, and proofs taken from the run before, since `begin`. */
  made = 0
  reused = 0
  private last = new Map<string, unknown>()
  private now = new Map<string, unknown>()
  /** Numbers given to texts so far. */
  private given = 0

  /** Starts a run: what the run before did not use is forgotten. */
  begin(): void {
    this.last = this.now
    this.now = new Map()
    this.made = 0
    this.reused = 0
  }

  /** A number for a text, to keep keys short: the same as in the run before, and never that of another text. */
  number(text: string): number {
    const key = `number of ${text}`
    const number = this.hint<number>(key) ?? ++this.given
    this.keep(key, number)
    return number
  }

  /** Whether a proof can be had without making it. */
  knows(key: string): boolean {
    return this.now.has(key) || this.last.has(key)
  }

  prove<T>(key: string, prove: () => T): T {
    if (this.now.has(key)) return this.now.get(key) as T
    let value: T
    if (this.last.has(key)) {
      value = this.last.get(key) as T
      this.reused++
    } else {
      value = prove()
      this.made++
    }
    this.now.set(key, value)
    return value
  }

  /** What the last run kept under a key that says where to look rather than what was proved. */
  hint<T>(key: string): T | undefined {
    return (this.now.get(key) ?? this.last.get(key)) as T | undefined
  }

  keep(key: string, value: unknown): void {
    this.now.set(key, value)
  }
}
