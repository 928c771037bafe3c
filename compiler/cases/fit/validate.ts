/** Whether fitted numbers are better than the author's on cases that they were not fitted to. */

import { addTo } from "../../run/lookup.ts"
import type { Machine } from "../../run/machine.ts"
import { bootstrap } from "../stats/paired-means.ts"
import { sum } from "./counts.ts"
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
  const author = new CaseScores(machineWith(parameters, written(parameters)), cases)
  const compared: { readonly before: CaseScore; readonly after: CaseScore }[] = []
  let ruledOut = 0
  for (let fold = 0; fold < folds; fold++) {
    const aside = cases.sample.filter((_, i) => i % folds === fold)
    const times = cases.times
    for (const at of aside) addTo(times, at, -1)
    const { values } = estimate(parameters, histories, weight, { times, from: near })
    const fitted = new CaseScores(machineWith(parameters, values), cases)
    for (const at of aside) {
      const [before, after] = [author.of(at), fitted.of(at)]
      // What is hard for the author is hard after fitting too: both rule it out, or neither.
      if (before === undefined || after === undefined) ruledOut++
      else compared.push({ before, after })
    }
  }
  if (compared.length === 0) return undefined
  const differences = compared.map(({ before, after }) => after.loss - before.loss)
  const [low, high] = bootstrap(differences)
  return {
    folds,
    cases: differences.length,
    ruledOut,
    author: scoreOf(compared.map(({ before }) => before)),
    fitted: scoreOf(compared.map(({ after }) => after)),
    difference: sum(differences) / differences.length,
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

/** How well the numbers of a machine foretell what was confirmed. */
class CaseScores {
  readonly #machine: Machine
  readonly #cases: DistinctCases
  readonly #known = new Map<number, CaseScore | undefined>()

  constructor(machine: Machine, cases: DistinctCases) {
    this.#machine = machine
    this.#cases = cases
  }

  /** Of a distinct case; undefined where what was confirmed is ruled out. */
  of(at: number): CaseScore | undefined {
    if (!this.#known.has(at)) this.#known.set(at, this.#score(this.#cases.content(at)))
    return this.#known.get(at)
  }

  #score(content: CaseContent): CaseScore | undefined {
    const chances = posterior(this.#machine, content)
    const chance = chances?.of(content.confirmed) ?? 0
    if (!chances || chance === 0) return undefined
    return { loss: -Math.log(chance), isRight: chances.isLikeliest(content.confirmed) }
  }
}

function scoreOf(scores: readonly CaseScore[]): Score {
  const loss = sum(scores.map((each) => each.loss))
  const right = scores.filter(({ isRight }) => isRight).length
  return { logLoss: loss / scores.length, accuracy: right / scores.length }
}
