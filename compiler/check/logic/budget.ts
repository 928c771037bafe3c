/** Thrown where a question could not be answered within the budget. What asked must not take it for an answer. */
export class BudgetSpent extends Error {
  override name = "BudgetSpent"
}

/** Conflicts that one question may meet, and all questions of a run together; ten times what any ruleset at hand needs. */
const EACH = 10_000
const ALL = 30_000

/** When all is spent, the questions that follow still get so many: nearly all need none. */
const LEAST = 100

/** What the questions of one run may take, in conflicts of the solver and not in time: the same on every machine. */
export class Budget {
  readonly #each: number
  readonly #least: number
  #left: number

  constructor(each = EACH, all = ALL, least = LEAST) {
    this.#each = each
    this.#left = all
    this.#least = least
  }

  get next(): number {
    return Math.max(this.#least, Math.min(this.#each, this.#left))
  }

  spend(conflicts: number): void {
    this.#left -= conflicts
  }
}
