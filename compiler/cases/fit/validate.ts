/** Whether fitted numbers are better than the author's on cases that they were not fitted to. */

import type { Machine } from "../../run/machine.ts"
import type { Case } from "../record/case.ts"
import { bootstrap } from "../stats/paired-means.ts"
import { estimate } from "./estimate.ts"
import { machineFor } from "./job-history.ts"
import { graphWith, type Values, written } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"
import { type Posterior, posterior } from "./posterior.ts"

/**
 * Cross-validation over `folds` parts, case by case in turn. Per case: the log loss of exactly what was confirmed, given
 * all that the record found (natural logarithm; 0 is best), and whether that was likeliest.
 */
export interface Validation {
  readonly folds: number
  readonly cases: number
  /** What was confirmed is ruled out, by either: no chance that could be scored. */
  readonly ruledOut: number
  readonly author: Score
  readonly fitted: Score
  /** Mean difference of the log loss (fitted − author), with a 95 % bootstrap interval. */
  readonly difference: number
  readonly low: number
  readonly high: number
  readonly verdict: "helps" | "harms" | "cannot be told"
}

export interface Score {
  readonly logLoss: number
  readonly accuracy: number
}

/** Fewer cases than this say nothing. */
export const FEWEST = 20

/** Beyond so many, the interval is that of the first ones. */
const MOST_BOOTSTRAPPED = 5000

export function validate(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  folds: number,
): Validation | undefined {
  const known = cases.filter(({ confirmed }) => confirmed.kind !== "unknown")
  if (known.length < FEWEST) return undefined
  const author = new Scorer(machineWith(parameters, written(parameters)))
  const fitted = new Scorer()
  const near = estimate(parameters, known, weight).values
  const differences: number[] = []
  let ruledOut = 0
  for (let fold = 0; fold < folds; fold++) {
    const rest = known.filter((_, i) => i % folds !== fold)
    fitted.machine = machineWith(parameters, estimate(parameters, rest, weight, near).values)
    for (let i = fold; i < known.length; i += folds) {
      const record = known[i]!
      const [before, after] = [author.of(record), fitted.of(record)]
      // What is hard for the author is hard after fitting too: both rule it out, or neither.
      if (before === undefined || after === undefined) ruledOut++
      else differences.push(fitted.add(record, after) - author.add(record, before))
    }
  }
  if (differences.length === 0) return undefined
  const [low, high] = bootstrap(differences.slice(0, MOST_BOOTSTRAPPED))
  return {
    folds,
    cases: differences.length,
    ruledOut,
    author: author.score,
    fitted: fitted.score,
    difference: differences.reduce((sum, each) => sum + each, 0) / differences.length,
    low,
    high,
    verdict: verdictOf(low, high),
  }
}

/** An interval that lies within this of no change at all tells nothing either way. */
const NOTHING = 0.001

function verdictOf(low: number, high: number): Validation["verdict"] {
  if (low > -NOTHING && high < NOTHING) return "cannot be told"
  return high < 0 ? "helps" : low > 0 ? "harms" : "cannot be told"
}

function machineWith(parameters: Parameters, values: Values): Machine {
  return machineFor(graphWith(parameters, values), { withRules: true })
}

/** Adds up how well the numbers of a machine foretell what was confirmed. */
class Scorer {
  machine: Machine | undefined
  #cases = 0
  #loss = 0
  #right = 0

  constructor(machine?: Machine) {
    this.machine = machine
  }

  /** Undefined where what was confirmed is ruled out. */
  of(record: Case): Posterior | undefined {
    const chances = this.machine && posterior(this.machine, record)
    return chances && chances.of(record.confirmed) > 0 ? chances : undefined
  }

  /** The log loss of this case. */
  add({ confirmed }: Case, chances: Posterior): number {
    const loss = -Math.log(chances.of(confirmed))
    this.#cases++
    this.#loss += loss
    if (chances.isLikeliest(confirmed)) this.#right++
    return loss
  }

  get score(): Score {
    return { logLoss: this.#loss / this.#cases, accuracy: this.#right / this.#cases }
  }
}
