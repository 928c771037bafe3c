/**
 * How far a rule is to be trusted. A rule of n % lets the findings that speak against a state come with 1 − n % of the
 * chance that they would have: so it shows in how rarely its condition comes true in states that it strikes. The most
 * likely n is looked for among whole tenths of a percent, the author's n counting as `weight` cases.
 */
import { activeAt, type Hypothesis } from "../../run/belief.ts"
import { holds } from "../../run/condition.ts"
import { cellChance } from "../../run/likelihood.ts"
import type { Law, Machine } from "../../run/machine.ts"
import { machineOf } from "../../run/machine.ts"
import type { Case } from "../record/case.ts"
import type { Estimate } from "./counts.ts"
import { historyOf, machineFor, type Past } from "./job-history.ts"
import { graphWith, written } from "./parameter-values.ts"
import { isFree, type Parameters } from "./parameters.ts"

/** Once that a rule could have been known true against what was confirmed. */
interface Trial {
  /** Chance that its condition comes true, by the author's percentages alone. */
  readonly chance: number
  readonly cameTrue: boolean
  readonly weight: number
}

export function ruleTrust(
  parameters: Parameters,
  cases: readonly Case[],
  weight: number,
  { values, counts }: Estimate,
): Estimate {
  const { rules, rates } = parameters
  const free = [...rules].flatMap((rate, rule) =>
    rate >= 0 && isFree(rates[rate]!.chance) ? [{ rule, rate }] : [],
  )
  if (free.length === 0) return { values, counts }
  const author = written(parameters).rates
  const graph = graphWith(parameters, values)
  const machine = machineFor(graph, { withRules: false })
  const { laws } = machineOf(graph)
  const trials = new Map(free.map(({ rule }) => [rule, [] as Trial[]]))
  for (const record of cases) {
    if (record.confirmed.kind !== "faults") continue
    const { events, hypotheses } = historyOf(machine, record, record.confirmed.faults)
    for (const h of hypotheses)
      for (const [rule, all] of trials) all.push(...trialsOf(machine, laws[rule]!, events, h))
  }
  const changed = Float64Array.from(values.rates)
  for (const { rule, rate } of free) {
    const all = trials.get(rule)!
    changed[rate] = mostLikely(all, author[rate]!, weight)
    for (const { weight, cameTrue } of all) {
      counts.could[rate]! += weight
      counts.did[rate]! += cameTrue ? 0 : weight
    }
  }
  return { values: { ...values, rates: changed }, counts }
}

/** The readings at which the rule could have come true against this state; after it has, it acts no more. */
function trialsOf(machine: Machine, law: Law, events: readonly Past[], h: Hypothesis): Trial[] {
  const trials: Trial[] = []
  for (const { job, effect, found } of events) {
    const taken = effect.reads.filter((reading) => law.readings.has(reading))
    if (typeof found === "string" || taken.length === 0 || !isAgainst(machine, law, h, job)) continue
    const active = activeAt(machine, h, job.time, job.fitted)
    const standing = (reading: number) => {
      const last = job.taken[reading]!.at(-1)
      const stands =
        last !== undefined &&
        (machine.readings[reading]!.told || activeAt(machine, h, last.time, last.fitted) === active)
      return stands ? last.cell : undefined
    }
    const withCells = (cells: readonly number[]) => (reading: number) => {
      const at = taken.indexOf(reading)
      return at >= 0 ? cells[at] : standing(reading)
    }
    const cells = taken.map((reading) => found[effect.reads.indexOf(reading)]!)
    const cameTrue = holds(law.when, withCells(cells)) === true
    let chance = 0
    for (const each of combinations(taken.map((reading) => machine.readings[reading]!.cells.length)))
      if (holds(law.when, withCells(each)) === true)
        chance += each.reduce((so, cell, i) => so * cellChance(machine, job, h, taken[i]!, cell), 1)
    if (chance > 0 && chance < 1) trials.push({ chance, cameTrue, weight: h.weight })
    if (cameTrue) break
  }
  return trials
}

function isAgainst(machine: Machine, law: Law, h: Hypothesis, job: Past["job"]): boolean {
  const all = (h.a >= 0 ? 1 : 0) | (h.b >= 0 ? 2 : 0)
  const counted = law.told ? all : activeAt(machine, h, job.time, job.fitted)
  if (counted === 0) return false
  const named = (counted & 1 && law.of.has(h.a)) || (counted & 2 && law.of.has(h.b))
  return Boolean(named) !== law.leavesOnly
}

function* combinations(sizes: readonly number[]): Generator<number[]> {
  const cells = sizes.map(() => 0)
  for (;;) {
    yield [...cells]
    let at = cells.length - 1
    while (at >= 0 && ++cells[at]! === sizes[at]!) cells[at--] = 0
    if (at < 0) return
  }
}

/** From 0.1 % to 99.9 %. */
function mostLikely(trials: readonly Trial[], author: number, weight: number): number {
  if (trials.length === 0) return author
  let best = author
  let most = Number.NEGATIVE_INFINITY
  for (let tenths = 1; tenths < 1000; tenths++) {
    const trust = tenths / 1000
    let log = weight * (author * Math.log(trust) + (1 - author) * Math.log(1 - trust))
    for (const { chance, cameTrue, weight } of trials) {
      const left = 1 - trust
      log += weight * ((cameTrue ? Math.log(left) : 0) - Math.log(1 - chance + chance * left))
    }
    if (log > most) {
      most = log
      best = trust
    }
  }
  return best
}
