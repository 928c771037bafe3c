/** Whether fitted numbers are better than the author's on cases that they were not fitted to. */

import type { Case } from "../record/case.ts"
import { bootstrap } from "../stats/paired-means.ts"
import { estimate } from "./estimate.ts"
import { Numbers, written } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"
import { maskedBy, masksOf, posterior } from "./posterior.ts"

/**
 * Cross-validation over `folds` parts, case by case in turn. Per case: the log loss of the confirmed fault given all that
 * the record found (natural logarithm; 0 is best), and whether the likeliest fault was it.
 */
export interface Validation {
  readonly folds: number
  readonly cases: number
  /** The confirmed fault is ruled out, by either: no chance that could be scored. */
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
export const fewest = 20

/** Beyond so many, the interval is that of the first ones. */
const mostBootstrapped = 5000

export function validate(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  folds: number,
): Validation | undefined {
  const { model } = parameters
  const known = cases.filter(({ truth }) => truth.known === "listed")
  if (known.length < fewest) return undefined
  const masks = masksOf(model)
  const author = new Numbers(parameters, written(parameters))
  const near = estimate(parameters, known, weight).values
  const sums = { author: { loss: 0, right: 0 }, fitted: { loss: 0, right: 0 } }
  const differences: number[] = []
  let ruledOut = 0
  for (let fold = 0; fold < folds; fold++) {
    const rest = known.filter((_, i) => i % folds !== fold)
    const fitted = new Numbers(parameters, estimate(parameters, rest, weight, near).values)
    for (let i = fold; i < known.length; i += folds) {
      const record = known[i]!
      const fault = record.truth.known === "listed" ? record.truth.fault : -1
      const masked = maskedBy(masks, model, record)
      const before = posterior(model, record, author, masked)
      const after = posterior(model, record, fitted, masked)
      // What is hard for the author is hard after fitting too: both rule it out, or neither.
      if (!before?.[fault] || !after?.[fault]) {
        ruledOut++
        continue
      }
      const [a, b] = [-Math.log(before[fault]), -Math.log(after[fault])]
      sums.author.loss += a
      sums.fitted.loss += b
      if (isLikeliest(before, fault)) sums.author.right++
      if (isLikeliest(after, fault)) sums.fitted.right++
      differences.push(b - a)
    }
  }
  const n = differences.length
  if (n === 0) return undefined
  const [low, high] = bootstrap(differences.slice(0, mostBootstrapped))
  return {
    folds,
    cases: n,
    ruledOut,
    author: { logLoss: sums.author.loss / n, accuracy: sums.author.right / n },
    fitted: { logLoss: sums.fitted.loss / n, accuracy: sums.fitted.right / n },
    difference: differences.reduce((sum, each) => sum + each, 0) / n,
    low,
    high,
    verdict: high < 0 ? "helps" : low > 0 ? "harms" : "cannot be told",
  }
}

function isLikeliest(chances: Float64Array, fault: number): boolean {
  return chances.every((chance) => chance <= chances[fault]!)
}
