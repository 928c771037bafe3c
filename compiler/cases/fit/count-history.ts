/**
 * What one job tells of each number, counted by the chances of what it does not show. A rule keeps findings that speak
 * against a state from coming as often as its percentages say. Those that it kept away are counted as if they had come
 * and been refused (truncated data: Dempster, Laird and Rubin 1977, 4.2), so that `shows` and rules don't both learn
 * from the same absence.
 */

import { activeAt, type Hypothesis, isUnlisted } from "../../run/belief.ts"
import type { CellIndex, FaultIndex, ReadingIndex, RuleIndex, TestIndex } from "../../run/indexes.ts"
import { leftBy, strikes } from "../../run/laws.ts"
import { cellChance } from "../../run/likelihood.ts"
import { addTo, at, lookUp } from "../../run/lookup.ts"
import type { Law, Machine, Redone } from "../../run/machine.ts"
import type { Counts } from "./counts.ts"
import { type History, type Past, withReadings } from "./job-history.ts"
import { categoryOf } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"

/** The one or two faults of a state, with their bits. */
function faultsOf({ a, b }: Hypothesis): { readonly fault: FaultIndex; readonly bit: number }[] {
  return [...(a === -1 ? [] : [{ fault: a, bit: 1 }]), ...(b === -1 ? [] : [{ fault: b, bit: 2 }])]
}

/** Where rules leave less than this of what can be found, what they refused would be guesswork. */
const LEAST_LEFT = 0.05

export class Counter {
  readonly #parameters: Parameters
  readonly #machine: Machine
  readonly #withRules: Machine
  readonly #counts: Counts

  /** `machine`: without rules. */
  constructor(parameters: Parameters, machine: Machine, withRules: Machine, counts: Counts) {
    this.#parameters = parameters
    this.#machine = machine
    this.#withRules = withRules
    this.#counts = counts
  }

  /** `times`: how often such a job came. */
  count({ events, hypotheses }: History, times: number): void {
    for (const one of hypotheses) {
      const h = { ...one, weight: one.weight * times }
      let { acted } = h
      for (const event of events) {
        const { found, effect } = event
        if (typeof found === "string") {
          this.#cures(event, h)
          if (!isUnlisted(h)) this.#look(event, h)
          continue
        }
        effect.reads.forEach((reading, i) => {
          this.#reading(event, h, reading, at(found, i), h.weight)
        })
        acted = this.#refused(event, { ...h, acted }, found)
      }
    }
  }

  /** What rules kept from being found; gives those that have acted by now. */
  #refused(event: Past, h: Hypothesis, found: readonly CellIndex[]): readonly RuleIndex[] {
    const machine = this.#withRules
    const { reads } = event.effect
    const laws = [...new Set(reads.flatMap((reading) => at(machine.lawsOf, reading)))].filter((law) =>
      mayStrike(law, h),
    )
    if (laws.length === 0) return h.acted
    const named = reads.filter((reading) => laws.some((law) => law.readings.has(reading)))
    const ways = combinations(named.map((reading) => at(machine.readings, reading).cells.length)).map(
      (cells) => this.#way(event, h, laws, found, named, cells),
    )
    const left = ways.reduce((sum, { chance, share }) => sum + chance * share, 0)
    const came = this.#way(
      event,
      h,
      laws,
      found,
      named,
      named.map((reading) => at(found, reads.indexOf(reading))),
    )
    if (came.share > 0 && left >= LEAST_LEFT) {
      for (const { chance, share, cells, struck } of ways) {
        const refused = (h.weight * chance * (1 - share)) / left
        if (refused === 0) continue
        named.forEach((reading, i) => {
          this.#reading(event, h, reading, at(cells, i), refused)
        })
        for (const law of struck) this.#rule(law, refused, (refused * law.chance) / (1 - share))
      }
      for (const law of came.struck) this.#rule(law, h.weight, 0)
    }
    return came.acted
  }

  /** One way that the named readings could have come out: its chance, and what rules leave of it. */
  #way(
    { job, effect }: Past,
    h: Hypothesis,
    laws: readonly Law[],
    found: readonly CellIndex[],
    named: readonly ReadingIndex[],
    cells: readonly CellIndex[],
  ) {
    const { reads } = effect
    const all = reads.map((reading, i) =>
      named.includes(reading) ? at(cells, named.indexOf(reading)) : at(found, i),
    )
    const next = withReadings(job, reads, all)
    const struck = laws.filter(
      (law) =>
        (law.rule === undefined || !h.acted.includes(law.rule)) && strikes(this.#withRules, next, h, law),
    )
    const { share, acted } = leftBy(this.#withRules, next, h, struck)
    const chance = named.reduce(
      (so, reading, i) => so * cellChance(this.#machine, job, h, reading, at(cells, i)),
      1,
    )
    return { chance, share, acted, struck, cells }
  }

  #rule({ rule }: Law, could: number, did: number): void {
    if (rule !== undefined) this.#rate(this.#parameters.rules[rule], could, did)
  }

  #reading({ job }: Past, h: Hypothesis, reading: ReadingIndex, cell: CellIndex, weight: number): void {
    const { readings, shows, model } = this.#machine
    const { told } = at(readings, reading)
    const speaking = (active: number) =>
      faultsOf(h).filter(({ fault, bit }) => at(shows, fault).has(reading) && (told || active & bit))
    const now = speaking(activeAt(this.#machine, h, job.time, job.fitted))
    const isRepeated = at(job.taken, reading).some(({ time, fitted }) => {
      const then = speaking(activeAt(this.#machine, h, time, fitted))
      return then.length === now.length && then.every(({ bit }, i) => bit === at(now, i).bit)
    })
    // The same again tells nothing new.
    if (isRepeated) return
    const base = at(at(model.base, reading), cell)
    const healthy = at(at(model.healthy, reading), cell)
    const sources = isUnlisted(h)
      ? [
          { chance: healthy / 2, fault: undefined },
          { chance: base / 2, fault: -1 as const },
        ]
      : now.length === 0
        ? [{ chance: healthy, fault: undefined }]
        : now.map(({ fault }) => ({
            chance: at(lookUp(at(shows, fault), reading), cell) / now.length,
            fault,
          }))
    const shown = sources.reduce((sum, { chance }) => sum + chance, 0)
    const trust = at(model.trust, reading)
    const meant = (trust * shown) / (trust * shown + (1 - trust) * base)
    if (told) this.#rate(this.#parameters.trust[reading], weight, weight * meant)
    for (const { chance, fault } of sources)
      if (fault !== -1 && shown > 0) this.#group(reading, cell, fault, (weight * meant * chance) / shown)
  }

  #group(reading: ReadingIndex, cell: CellIndex, fault: FaultIndex | undefined, chance: number): void {
    const { groupOf, groups, model } = this.#parameters
    const group = at(at(groupOf, reading), fault ?? model.faults.length)
    if (group >= 0) addTo(at(this.#counts.groups, group), categoryOf(at(groups, group), cell), chance)
  }

  #rate(rate: number | undefined, could: number, did: number): void {
    if (rate === undefined || rate < 0) return
    addTo(this.#counts.could, rate, could)
    addTo(this.#counts.did, rate, did)
  }

  /** Every setup that was redone and could have cured a fault that was not. */
  #cures(event: Past, h: Hypothesis): void {
    const { action, job, effect } = event
    const test =
      action.do === "test" ? action.test : action.do === "putBack" ? job.fitted.get(action.part) : undefined
    for (const redoes of [effect.redoes, effect.redoesAfter])
      for (const { fault, bit } of faultsOf(h)) {
        const curedAt = bit === 1 ? h.curedA : h.curedB
        const { place } = at(this.#machine.faults, fault)
        if (curedAt < job.time || fault === effect.cures || place === effect.curesPart) continue
        this.#redone(redoes, fault, test, h.weight, curedAt === job.time)
      }
  }

  #redone(
    redoes: Redone,
    fault: FaultIndex,
    test: TestIndex | undefined,
    weight: number,
    isCured: boolean,
  ): void {
    const { setups, cures, eased } = this.#parameters
    const { place } = at(this.#machine.faults, fault)
    const all = [...redoes].flatMap(([setup, chance]) =>
      setup === place
        ? [{ rate: test === undefined ? setups[setup] : at(cures, test).get(setup), chance }]
        : [{ rate: at(eased, fault).get(setup), chance: at(this.#machine.eased, fault).get(setup) ?? 0 }],
    )
    const any = 1 - all.reduce((fails, { chance }) => fails * (1 - chance), 1)
    for (const { rate, chance } of all)
      if (chance > 0) this.#rate(rate, weight, isCured ? (weight * chance) / any : 0)
  }

  /** How often a fault that comes and goes was seen, of the tries that were made. */
  #look({ action, found, job, effect }: Past, h: Hypothesis): void {
    const { recurs } = this.#machine.model
    // What was cured by now was so before the look, but for what goes in again after it.
    const isRemoved = effect.redoesAfter.size > 0
    const active = activeAt(this.#machine, h, job.time + (isRemoved ? 0 : 1), effect.out)
    const seen = faultsOf(h).filter(({ bit }) => active & bit)
    if (seen.length === 0) return
    const miss = seen.reduce((so, { fault }) => so * (1 - at(recurs, fault)), 1)
    const n = action.do === "close" ? this.#proofTries() : effect.tries
    if (n === 0 || miss === 1 || (action.do === "close" && found !== "holds")) return
    const isGone = found === "gone" || found === "holds"
    const tries = isGone ? n : triesUntilSeen(miss, n)
    for (const { fault } of seen)
      this.#rate(
        this.#parameters.recurs[fault],
        h.weight * tries,
        isGone ? 0 : (h.weight * at(recurs, fault)) / (1 - miss),
      )
  }

  /** Only proofs that count in every job; which others did is not worth following. */
  #proofTries(): number {
    return this.#machine.proofs.reduce((sum, { times, places }) => sum + (places?.length ? 0 : times), 0)
  }
}

/** Expected number of the try that showed the complaint, if one of `n` did: each misses with the chance `miss`. */
function triesUntilSeen(miss: number, n: number): number {
  const never = miss ** n
  return 1 / (1 - miss) - (n * never) / (1 - never)
}

/** Most rules speak of other faults than those of a state. */
function mayStrike({ rule, leavesOnly, of }: Law, { a, b }: Hypothesis): boolean {
  return rule === undefined || leavesOnly || (a !== -1 && of.has(a)) || (b !== -1 && of.has(b))
}

/** All combinations of indexes below these sizes. */
function combinations(sizes: readonly number[]): CellIndex[][] {
  return sizes.reduce<CellIndex[][]>(
    (all, size) =>
      all.flatMap((cells) => Array.from({ length: size }, (_, cell) => [...cells, cell as CellIndex])),
    [[]],
  )
}
