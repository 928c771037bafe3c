/** A ruleset's numbers fitted to recorded cases, as a change to its source that the author may take or leave. */
import type { Model } from "../../model/model.ts"
import type { Tree } from "../../syntax/syntax-tree.ts"
import type { Case } from "../record/case.ts"
import { type Contradiction, Contradictions } from "./contradictions.ts"
import type { Counts } from "./counts.ts"
import { DistinctCases } from "./distinct-cases.ts"
import { estimate } from "./estimate.ts"
import { graphWithoutPlan } from "./graph-without-plan.ts"
import { Histories } from "./histories.ts"
import { knownFrom, type Tie } from "./information.ts"
import type { Values } from "./parameter-values.ts"
import { type Parameters, parametersOf } from "./parameters.ts"
import { type NumberChange, numberChanges } from "./patch.ts"
import { type Validation, validate } from "./validate.ts"

export type { Contradiction } from "./contradictions.ts"
export { graphWithoutPlan } from "./graph-without-plan.ts"

export interface Fit {
  /** How many cases the author's numbers count as. */
  readonly weight: number
  readonly cases: number
  /** Without a fault: they teach nothing here. */
  readonly unused: number
  /** With a fault, and nothing that says how it was confirmed: what the plan ended with teaches only what the plan thought. */
  readonly unconfirmed: number
  readonly changes: readonly NumberChange[]
  /** Numbers that these cases can't tell apart. */
  readonly ties: readonly Tie[]
  /** Faults that fewer cases than `fewCases` confirmed: their numbers stay near the author's. */
  readonly few: readonly { readonly fault: string; readonly cases: number }[]
  /** What the author says is always or never so, and cases contradict; the most frequent first. Nothing here is changed. */
  readonly contradicted: readonly Contradiction[]
  /** Absent where the cases are too few for it. */
  readonly validation?: Validation
}

export const FEW_CASES = 5
/** How many cases the author's numbers count as, unless said otherwise. */
export const USUAL_WEIGHT = 20

export interface FitOptions {
  /** How many cases the author's numbers count as; above 0. */
  readonly weight: number
  /** Learn also from cases that don't say how their fault was confirmed. */
  readonly unconfirmed?: boolean
}

/** What cases alone say is estimated with the author's numbers counting as this at most, which keeps chances off 0 and 1. */
const LIGHT = 1
/** The rounds for so many distinct cases begin with those of a sample. */
const MANY = 5000

/** Gathers cases one by one, as they are read for `graphWithoutPlan(model)`. */
export class Fitting {
  readonly #model: Model
  readonly #parameters: Parameters
  readonly #options: FitOptions
  readonly #distinct = new DistinctCases()
  readonly #contradictions: Contradictions
  #cases = 0
  #unused = 0
  #unconfirmed = 0

  constructor(model: Model, trees: readonly Tree[], options: FitOptions) {
    this.#model = model
    this.#parameters = parametersOf(model, trees)
    this.#options = options
    this.#contradictions = new Contradictions(graphWithoutPlan(model))
  }

  add(record: Case): void {
    this.#cases++
    if (record.confirmed.kind === "unknown") this.#unused++
    else if (record.confirmedBy === undefined && !this.#options.unconfirmed) this.#unconfirmed++
    else {
      this.#distinct.add(record)
      this.#contradictions.add(record)
    }
  }

  result(): Fit {
    const { weight } = this.#options
    const parameters = this.#parameters
    const { histories, values, counts, known } = this.#learn()
    const validation = validate(parameters, histories, weight, values)
    return {
      weight,
      cases: this.#cases,
      unused: this.#unused,
      unconfirmed: this.#unconfirmed,
      changes: numberChanges(parameters, values, known),
      ties: known.ties,
      few: this.#few(counts),
      contradicted: this.#contradictions.all,
      ...(validation ? { validation } : {}),
    }
  }

  /** The changes by themselves: whether they help takes several times as long to find out. */
  changes(): NumberChange[] {
    const { values, known } = this.#learn()
    return numberChanges(this.#parameters, values, known)
  }

  #learn() {
    const { weight } = this.#options
    const parameters = this.#parameters
    const histories = new Histories(parameters, this.#distinct)
    const { values, counts } = estimate(
      parameters,
      histories,
      weight,
      beginning(parameters, histories, weight),
    )
    const alone =
      weight <= LIGHT ? { values, counts } : estimate(parameters, histories, LIGHT, { from: values })
    return { histories, values, counts, known: knownFrom(parameters, histories, alone) }
  }

  #few({ odds }: Counts): Fit["few"] {
    return this.#model.faults.flatMap(({ name }, f) => {
      const cases = odds[f] ?? 0
      return cases < FEW_CASES ? [{ fault: name, cases }] : []
    })
  }
}

/** Of many cases the first rounds go over a sample: from there it is near. */
function beginning(parameters: Parameters, histories: Histories, weight: number): { from?: Values } {
  const { cases } = histories
  if (cases.size < MANY || cases.isWholeSample) return {}
  const share = cases.sample.length / cases.cases
  return { from: estimate(parameters, histories, weight * share, { times: cases.sampleTimes }).values }
}

/** All cases at once. */
export function fitTo(model: Model, trees: readonly Tree[], cases: Iterable<Case>, options: FitOptions): Fit {
  const fitting = new Fitting(model, trees, options)
  for (const record of cases) fitting.add(record)
  return fitting.result()
}

/** Cases that were not fitted to say that the author's numbers were better: nothing is to be written unless forced. */
export function isHarmful({ validation }: Fit): boolean {
  return validation?.verdict === "harms"
}
