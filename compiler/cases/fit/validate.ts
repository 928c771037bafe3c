/** Whether fitted numbers are better than the author's on cases that they were not fitted to. */

import type { Machine } from "../../run/machine.ts"
import { bootstrap } from "../stats/paired-means.ts"
import type { CaseContent, DistinctCases } from "./distinct-cases.ts"
import { estimate } from "./estimate.ts"
import type { Histories } from "./histories.ts"
import { machineFor } from "./job-history.ts"
import { graphWith, type Values, written } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"
import { posterior } from "./posterior.ts"

/**
 * Cross-validation over `folds` parts, case by case in turn; over one part, an evenly spaced one that is kept back. Per case: the log loss of exactly what was confirmed, given
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

/** Parts of the cross-validation; of many cases fewer tell as much, and of very many one part is kept back. */
function partsFor({ cases, isWholeSample }: DistinctCases): number {
  return isWholeSample ? (cases > 500 ? 5 : 10) : 1
}

/** `near`: values fitted to all cases. */
export function validate(
  parameters: Parameters,
  histories: Histories,
  weight: number,
  near: Values,
): Validation | undefined {
  const { cases } = histories
  if (cases.cases < FEWEST) return undefined
  const folds = partsFor(cases)
  const author = new Scorer(machineWith(parameters, written(parameters)))
  const fitted = new Scorer()
  const differences: number[] = []
  let ruledOut = 0
  for (let fold = 0; fold < folds; fold++) {
    const aside = cases.sample.filter((_, i) => i % folds === fold)
    const times = cases.times
    for (const at of aside) times[at]!--
    fitted.use(machineWith(parameters, estimate(parameters, histories, weight, { times, from: near }).values))
    for (const at of aside) {
      const [before, after] = [author.of(at, cases), fitted.of(at, cases)]
      // What is hard for the author is hard after fitting too: both rule it out, or neither.
      if (before === undefined || after === undefined) ruledOut++
      else differences.push(fitted.add(after) - author.add(before))
    }
  }
  if (differences.length === 0) return undefined
  const [low, high] = bootstrap(differences)
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

/** Of one case: the log loss, and whether what was confirmed is likeliest. */
interface CaseScore {
  readonly loss: number
  readonly isRight: boolean
}

/** Adds up how well the numbers of a machine foretell what was confirmed. */
class Scorer {
  #machine: Machine | undefined
  /** By distinct case. */
  #known = new Map<number, CaseScore | undefined>()
  #cases = 0
  #loss = 0
  #right = 0

  constructor(machine?: Machine) {
    this.#machine = machine
  }

  use(machine: Machine): void {
    this.#machine = machine
    this.#known = new Map()
  }

  /** Undefined where what was confirmed is ruled out. */
  of(at: number, cases: DistinctCases): CaseScore | undefined {
    if (!this.#known.has(at)) this.#known.set(at, this.#score(cases.content(at)))
    return this.#known.get(at)
  }

  #score(content: CaseContent): CaseScore | undefined {
    const chances = this.#machine && posterior(this.#machine, content)
    const chance = chances?.of(content.confirmed) ?? 0
    if (!chances || chance === 0) return undefined
    return { loss: -Math.log(chance), isRight: chances.isLikeliest(content.confirmed) }
  }

  /** Gives the log loss. */
  add({ loss, isRight }: CaseScore): number {
    this.#cases++
    this.#loss += loss
    if (isRight) this.#right++
    return loss
  }

  get score(): Score {
    return { logLoss: this.#loss / this.#cases, accuracy: this.#right / this.#cases }
  }
}
