import { Interned } from "./interned.ts"
import type { Job } from "./job.ts"
import type { KnownStateCosts } from "./known-state.ts"
import { type Looks, triesMade } from "./looks.ts"
import type { Memories } from "./memory.ts"
import { type Pair, pack } from "./pair-packing.ts"
import type { Problem } from "./problem.ts"
import type { Readings } from "./readings.ts"
import type { State } from "./state.ts"
import type { Step } from "./steps.ts"
import { Variations } from "./variations.ts"

/** So many hypotheses, the likeliest with one fault or none, are told apart; of the others nothing is asked. */
const MOST = 80

/** Of a step that can't be done. */
const NEVER = 1e12

/** One hypothesis, and what each step, handing over the last, costs it beyond what its state costs in any case. */
interface Suspect {
  readonly weight: number
  readonly state: number
  readonly active: number
  readonly memory: number
  readonly lost: number
  /** By step: money. */
  readonly regret: Float64Array
  /**
   * What is spent until something may be done that changes the hypothesis or ends the job, and the regrets without
   * that; undefined where nothing is.
   */
  readonly opened: { readonly cost: number; readonly regret: Float64Array } | undefined
  /** By step: whether it changes what this hypothesis has still to do, or may end the job. */
  readonly affects: Uint8Array
}

type Row = Pick<Suspect, "regret" | "opened" | "affects">

/**
 * What it costs at least, beyond what each state costs by itself, that nobody knows the state.
 *
 * What a policy costs in a hypothesis f is its known-state cost plus the regrets of the steps done (Kakade and Langford
 * 2002, "performance difference"): a reading's price, the whole cost of another fault's repair, what a dearer repair of
 * its own costs more. Play f and g side by side with findings coupled as well as can be. As long as they agree, the
 * policy does the same in both, and each job must come to a step that affects one of them, or the two must part: a step
 * parts them with at most the total variation of what it shows (Le Cam 1973). So with n(s, f) the expected times that s
 * is done in f, Σs τ(s, f, g) · min(n(s, f), n(s, g)) ≥ 1 for each pair, where τ is that variation, or 1 where s affects
 * f or g. What `openings.ts` says that has to be done before a step that affects f is surely spent: it may be counted
 * beforehand, and then it, and as much of the regret of a step that needs less, lies in no budget. The least
 * Σ w(f) · regret(s, f) · n(s, f) under these is a linear program; any solution of its dual is a lower bound: y(f, g) for
 * each pair, so that for each step both budgets w · regret together hold τ · y of all their pairs.
 */
export class TellingApart {
  readonly #problem: Problem
  readonly #costs: KnownStateCosts
  readonly #looks: Looks
  readonly #readings: Readings
  readonly #memories: Memories
  readonly #variations: Variations | undefined
  readonly #rows = new Interned<Row>()

  constructor(
    problem: Problem,
    costs: KnownStateCosts,
    looks: Looks,
    readings: Readings,
    memories: Memories,
  ) {
    this.#problem = problem
    this.#costs = costs
    this.#looks = looks
    this.#readings = readings
    this.#memories = memories
    this.#variations = Variations.of(problem, readings)
  }

  /** `lost`: by entry of `state`, the chance at most that rules and nevers ever take it out of the belief. */
  extra(state: State, lost: (k: number) => number): number {
    if (this.#variations === undefined) return 0
    if (state.job.fitted.filter(({ leftIn }) => !leftIn).length > 1) return 0
    const suspects = this.#suspects(state, lost)
    const pairs = this.#pairs(suspects)
    const packed = (regretOf: (suspect: Suspect) => Float64Array) =>
      pack(
        pairs,
        suspects.map((each) => regretOf(each).map((regret) => Math.min(NEVER, each.weight * regret))),
      )
    const plain = packed(({ regret }) => regret)
    if (suspects.every(({ opened }) => opened === undefined)) return plain
    const opening = suspects.reduce((so, { lost, weight, opened }) => {
      return lost > 0 || !opened ? so : so + weight * opened.cost
    }, 0)
    return Math.max(plain, opening + packed(({ regret, opened }) => opened?.regret ?? regret))
  }

  #pairs(suspects: readonly Suspect[]): Pair[] {
    const pairs: Pair[] = []
    suspects.forEach((one, f) => {
      for (let g = f + 1; g < suspects.length; g++) {
        const other = suspects[g]!
        // Where one of them may be taken out of the belief, no more is sure than of the rest.
        const sure = 1 - one.lost - other.lost
        if (sure > 0) pairs.push({ f, g, sure, parting: this.#parting(one, other) })
      }
    })
    return pairs
  }

  #suspects({ job, ids, memories, weights }: State, lost: (k: number) => number): Suspect[] {
    const { states } = this.#problem
    const single: number[] = []
    for (let k = 0; k < ids.length; k++) if (states.second[ids[k]! >> 2]! < 0) single.push(k)
    // A state that is known has nothing to be told from.
    if (single.length < 2) return []
    single.sort((a, b) => weights[b]! - weights[a]! || a - b)
    return single.slice(0, MOST).map((k) => {
      const state = ids[k]! >> 2
      const fault = states.first[state]!
      const active = fault >= 0 && (ids[k]! & 1) === 0 && job.out[fault] === 0 ? 1 : 0
      const row = this.#row(job, state, ids[k]! & 1)
      return { weight: weights[k]!, state, active, memory: memories[k]!, lost: lost(k), ...row }
    })
  }

  #row(job: Job, state: number, cured: number): Row {
    const fitted = job.fitted.map(({ part, test, leftIn }) => `${part}.${test}.${leftIn}`).join()
    const key = `${state}:${cured}:${job.proofs.join()}:${job.waiting.number}:${fitted}`
    return this.#rows.of(key, () => this.#regrets(job, state, cured))
  }

  #regrets(job: Job, state: number, cured: number): Row {
    const { steps, states, handover } = this.#problem
    const regret = new Float64Array(steps.length + 1)
    const affects = new Uint8Array(steps.length + 1)
    const fault = cured === 0 ? states.first[state]! : -1
    steps.forEach((step, index) => {
      const own = this.#own(job, step, fault)
      const ends = step.kind === "close"
      affects[index] = own || ends ? 1 : 0
      if (ends) regret[index] = this.#costs.regretOfClosing(job, state, cured)
      else if (own) regret[index] = this.#ownRegret(job, state, cured, index)
      else regret[index] = this.#wasted(job, state, cured, step)
    })
    affects[steps.length] = 1
    regret[steps.length] = Math.max(0, handover - this.#costs.from(job)(state, cured, false))
    return { regret, opened: this.#opened(job, state, cured, { regret, affects }), affects }
  }

  /** Takes what is spent before a step that affects a hypothesis out of its regrets. */
  #opened(job: Job, state: number, cured: number, { regret, affects }: Omit<Row, "opened">): Row["opened"] {
    const { steps } = this.#problem
    const { cost, counted } = this.#costs.openings(job, state, cured)
    if (counted.size === 0) return undefined
    let least = Number.POSITIVE_INFINITY
    for (const [index, is] of affects.entries())
      if (is === 1) least = Math.min(least, (cost[index] ?? 0) + regret[index]!)
    const tests = new Set([...counted].map((index) => steps[index]!.test))
    const isCounted = (index: number) => tests.has(steps[index]!.test) && steps[index]!.kind !== "putBack"
    return {
      cost: least,
      regret: regret.map((each, index) => {
        if (affects[index] === 1) return Math.max(0, each - Math.max(0, least - (cost[index] ?? 0)))
        return isCounted(index) ? 0 : each
      }),
    }
  }

  /** Whether a step changes what is left to do for a fault. */
  #own({ out }: Job, { kind, parts, cures }: Step, fault: number): boolean {
    if (fault < 0) return false
    if (cures[fault]! > 0) return true
    const isIn = parts.includes(this.#problem.place[fault]!)
    if (kind === "swaps") return isIn
    return isIn && out[fault] === 1 && (kind === "takeOut" || kind === "putBack" || kind === "keep")
  }

  #ownRegret(job: Job, state: number, cured: number, index: number): number {
    const { steps, states, place } = this.#problem
    const { kind, subject, cost, cures } = steps[index]!
    const fault = states.first[state]!
    if (kind === "takeOut") return 0
    // The known-state cost lets a part that has been fitted count as fitted for good.
    if (kind === "putBack" && subject === place[fault]) return cures[fault]! > 0 ? 0 : cost
    if (kind === "putBack") return 0
    return this.#costs.regretOf(job, state, cured, index)
  }

  /** What a step costs that has nothing to do with a hypothesis, less what is counted already for taking parts out. */
  #wasted({ fitted }: Job, state: number, cured: number, step: Step): number {
    const { tryCost } = this.#problem
    const active = cured === 0 && this.#problem.states.first[state]! >= 0 ? 1 : 0
    const quiet = this.#looks.quiet(state, active)
    const cost =
      step.cost + (step.tries > 0 ? tryCost * triesMade(quiet, step.kind === "removes" ? 1 : step.tries) : 0)
    if (step.kind === "takeOut") return 0
    if (step.kind !== "keep" && step.kind !== "putBack") return cost
    const its = fitted.find(({ part }) => part === step.subject)
    if (its === undefined) return NEVER
    return its.leftIn
      ? step.cost
      : Math.max(0, step.cost - this.#costs.unfitting(its.part, its.test, state, active))
  }

  /** By step: how much of the coupled jobs of two hypotheses it parts or affects at most. */
  #parting(f: Suspect, g: Suspect): Float64Array {
    const { steps } = this.#problem
    const parting = new Float64Array(steps.length + 1)
    for (let index = 0; index <= steps.length; index++) {
      if (f.affects[index] === 1 || g.affects[index] === 1) {
        parting[index] = 1
        continue
      }
      const step = steps[index]!
      if (step.reads.length > 0) {
        let same = 1
        for (const reading of step.reads) same *= 1 - this.#variation(reading, f, g)
        parting[index] = 1 - same
      } else if (step.tries > 0) {
        parting[index] = Math.abs(this.#gone(f, step) - this.#gone(g, step))
      }
    }
    return parting
  }

  #gone({ state, active }: Suspect, { kind, parts, away, tries }: Step): number {
    const fault = this.#problem.states.first[state]!
    const isAway = kind === "removes" && fault >= 0 && parts.length > 0 && away[fault] === 1
    return this.#looks.gone(state, isAway ? 0 : active, tries)
  }

  #variation(reading: number, f: Suspect, g: Suspect): number {
    const again = (s: Suspect) =>
      this.#memories.repeated(s.memory, reading, this.#readings.speaking(reading, s.state), s.active)
    const [a, b] = [again(f), again(g)]
    if (a >= 0 && b >= 0) return a === b ? 0 : 1
    if (a >= 0) return 1 - this.#readings.distribution(reading, g.state, g.active)[a]!
    if (b >= 0) return 1 - this.#readings.distribution(reading, f.state, f.active)[b]!
    return this.#variations!.between(reading, f.state, f.active, g.state, g.active)
  }
}
