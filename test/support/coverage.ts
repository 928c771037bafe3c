/** How often intervals of fitted numbers hold what the cases were drawn with. */
import { Fitting, graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { parametersOf, type Written } from "../../compiler/cases/fit/parameters.ts"
import { readCases } from "../../compiler/cases/record/read.ts"
import type { Analysis } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { jobs } from "../cases/till.ts"

type Ruleset = Analysis & { readonly model: Model }

interface Drawn {
  readonly repetitions: number
  readonly jobs: number
}

export interface Coverage {
  readonly all: number
  readonly covered: number
  /** By number: in how many repetitions it had an interval, and in how many that held the truth. */
  readonly of: ReadonlyMap<string, { readonly all: number; readonly covered: number }>
}

/** As few and as many intervals of 95 % as hold the truth in 999 of 1,000 tries, of so many: binomial. */
export function boundsOf(all: number): { readonly least: number; readonly most: number } {
  let [misses, chance] = [0, 0.95 ** all]
  let sum = chance
  let [fewest, most]: (number | undefined)[] = []
  while (most === undefined) {
    if (fewest === undefined && sum > 0.0005) fewest = misses
    if (sum > 0.9995 || misses === all) most = misses
    chance *= ((all - misses) / (misses + 1)) * (0.05 / 0.95)
    sum += chance
    misses++
  }
  return { least: all - most, most: all - (fewest ?? 0) }
}

/** Fits the numbers of `guessed` to jobs of machines that are as `truth` says. */
export function coverage(truth: Ruleset, guessed: Ruleset, { repetitions, jobs: count }: Drawn): Coverage {
  const truths = truthsOf(truth, guessed)
  const of = new Map<string, { all: number; covered: number }>()
  for (let seed = 1; seed <= repetitions; seed++) {
    const lines = jobs(truth.model, count, seed * 7919).join("\n")
    const records = [...readCases(lines, graphWithoutPlan(guessed.model))].flatMap(
      ({ case: record }) => record ?? [],
    )
    const fitting = new Fitting(guessed.model, guessed.trees, { weight: 20 })
    for (const record of records) fitting.add(record)
    for (const { seen, change } of fitting.changes()) {
      const written = truths.get(change.span.start)
      if (written === undefined)
        throw new Error(`The truth of what stands at ${change.span.start} isn't known.`)
      const { key, chance } = written
      const known = of.get(key) ?? { all: 0, covered: 0 }
      of.set(key, known)
      known.all++
      if (seen.low <= chance && chance <= seen.high) known.covered++
    }
  }
  const sum = (key: "all" | "covered") => [...of.values()].reduce((so, each) => so + each[key], 0)
  return { all: sum("all"), covered: sum("covered"), of }
}

interface Truth {
  readonly key: string
  readonly chance: number
}

/** By where each number is written in the guessed ruleset: what it is in the true one, which differs in numbers alone. */
function truthsOf(truth: Ruleset, guessed: Ruleset): Map<number, Truth> {
  const [real, other] = [parametersOf(truth.model, truth.trees), parametersOf(guessed.model, guessed.trees)]
  const { model } = truth
  const total = model.faults.reduce((sum, { odds }) => sum + odds, 0)
  const all = new Map<number, Truth>()
  const add = (written: Written | undefined, key: string, chance: number) => {
    if (written) all.set(written.span.start, { key, chance })
  }
  for (const [f, { name, odds }] of model.faults.entries()) add(other.odds[f], `odds ${name}`, odds / total)
  add(other.second, "second fault", model.ruleset.second)
  add(other.unlisted, "unlisted", model.ruleset.unlisted)
  for (const [g, { kind, name, clauses }] of other.groups.entries())
    for (const [k, { written }] of clauses.entries())
      add(written, `${kind} ${name} ${k + 1}`, real.groups[g]?.clauses[k]?.chance ?? Number.NaN)
  for (const [r, { kind, name, written }] of other.rates.entries())
    add(written, `${kind} ${name}`, real.rates[r]?.chance ?? Number.NaN)
  return all
}
