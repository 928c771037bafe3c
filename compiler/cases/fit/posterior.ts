/** The chance of each fault given all that a record found: what the runner says at the end of the job, for any numbers. */
import { writeCondition } from "../../graph/model.ts"
import type { Model } from "../../model/model.ts"
import { holds } from "../../run/belief.ts"
import type { GraphCondition } from "../../run/graph.ts"
import type { Case, Found } from "../record/case.ts"
import { chain } from "./hidden-markov-model.ts"
import type { Numbers } from "./parameter-values.ts"

/** The masks of a ruleset, ready to be asked. */
export interface Masks {
  readonly rules: readonly { readonly when: GraphCondition; readonly out: readonly number[] }[]
  readonly nevers: readonly GraphCondition[]
}

export function masksOf(model: Model): Masks {
  return {
    rules: model.rules.map(({ condition, out }) => ({ when: writeCondition(condition), out })),
    nevers: model.nevers.map(({ condition }) => writeCondition(condition)),
  }
}

/** By fault: ruled out by a rule or `never` at any time in the job. */
export function maskedBy({ rules, nevers }: Masks, model: Model, record: Case): boolean[] {
  const out: boolean[] = model.faults.map(() => false)
  const evidence: (number | undefined)[] = []
  const learn = (found: readonly Found[]) => {
    for (const { reading, cell } of found) evidence[reading] = cell
    for (const rule of rules) if (holds(rule.when, evidence)) for (const fault of rule.out) out[fault] = true
    if (nevers.some((when) => holds(when, evidence))) out.fill(true)
  }
  for (const answer of record.told) learn([answer])
  for (const { found } of record.steps) if (typeof found !== "string") learn(found)
  return out
}

/** Shape: one chance per fault, summing to 1; undefined where no listed fault fits. */
export function posterior(
  model: Model,
  record: Case,
  numbers: Numbers,
  masked: readonly boolean[],
): Float64Array | undefined {
  const logs = model.faults.map((_, fault) =>
    masked[fault]
      ? Number.NEGATIVE_INFINITY
      : Math.log(numbers.odds(fault)) + chain(model, record, fault, numbers).log,
  )
  const top = Math.max(...logs)
  if (top === Number.NEGATIVE_INFINITY) return undefined
  const weights = Float64Array.from(logs, (log) => Math.exp(log - top))
  const sum = weights.reduce((all, weight) => all + weight, 0)
  return weights.map((weight) => weight / sum)
}
