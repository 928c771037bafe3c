/**
 * The machine of a finished job, for which it is known what was wrong: the runner's own beliefs, held to that one state
 * and without rules. What is not known is whether a redoing cured, so each state keeps the chances of that.
 */

import { type Action, effectOf, jobAfter } from "../../run/action.ts"
import { activeNow, type Hypothesis, isActive, isUnlisted, type Job, startBelief } from "../../run/belief.ts"
import type { Graph } from "../../run/graph.ts"
import {
  type CellIndex,
  type FaultIndex,
  type PlaceIndex,
  type ReadingIndex,
  type RuleIndex,
  type TestIndex,
  tableOf,
} from "../../run/indexes.ts"
import { cellChance } from "../../run/likelihood.ts"
import { at } from "../../run/lookup.ts"
import { type Machine, machineOf } from "../../run/machine.ts"
import { outcomes } from "../../run/outcomes.ts"
import type { Found } from "../../run/session-types.ts"
import type { CaseAction, Confirmed } from "../record/case.ts"
import { namesOf } from "../record/graph-lookup.ts"

/** Where the machine is after some actions. */
export interface MachineState {
  readonly job: Job
  /** The confirmed state, by what of it is cured; empty where nobody confirmed anything. */
  readonly hypotheses: readonly Hypothesis[]
  /**
   * What was wrong and whether it still is, two bits for each confirmed fault (of what is not listed or not known, for
   * that): 0 active, 1 not, 2 uncertain.
   */
  readonly status: number
  /** A bit for each confirmed fault: a known-good part is in its place. */
  readonly out: number
  /** Chance that nothing is wrong with the machine as it stands; NaN where nobody confirmed anything. */
  readonly whole: number
  /** The complaint has gone, though by what is known it could not, or nothing is known. */
  readonly doubtful: boolean
}

/** What an action takes, and what can come of it. */
export interface MachineStep {
  readonly minutes: number
  /** Money, waiting and price included, the look not. */
  readonly cost: number
  /** Chance of each outcome; undefined where it is not known. */
  chance(found: Found): number | undefined
  /** Expected tries of its look, given this outcome. */
  tries(found: Found): number
}

/** Many jobs go the same way; so many ways are kept. */
const MOST_KEPT = 50_000

const NEARLY = 1e-9

export class TrueMachine {
  readonly graph: Graph
  readonly machine: Machine
  readonly #firstSwap: ReadonlyMap<PlaceIndex, TestIndex>
  readonly #starts = new Map<string, MachineState>()
  readonly #steps = new WeakMap<MachineState, Map<string, MachineStep>>()
  #next = new Map<MachineState, Map<string, MachineState>>()
  #kept = 0

  constructor(graph: Graph) {
    this.graph = graph
    const nothing = { minutes: 0, cost: 0, waits: 0 }
    // Rules are the author's word and change no machine; what the ruleset cannot fix, a shop may have fixed all the same.
    const fix = graph.model.fix.map((work) => work ?? nothing)
    const noRules = { rules: tableOf<RuleIndex, never>([]) }
    this.machine = machineOf({ ...graph, ...noRules, model: { ...graph.model, ...noRules, fix, nevers: [] } })
    this.#firstSwap = new Map(
      [...namesOf(graph).swaps].flatMap(([part, [test]]) => (test === undefined ? [] : [[part, test]])),
    )
  }

  start(confirmed: Confirmed): MachineState {
    const key = confirmed.kind === "faults" ? confirmed.faults.join() : confirmed.kind
    let state = this.#starts.get(key)
    if (state === undefined) {
      const { job } = startBelief(this.machine)
      state = this.#stateOf(job, hypothesesOf(confirmed), false)
      this.#starts.set(key, state)
    }
    return state
  }

  /** What an action takes from here, and what can come of it. Readings and questions leave the machine as it is. */
  step(from: MachineState, action: CaseAction): MachineStep {
    const known = this.#steps.get(from) ?? new Map<string, MachineStep>()
    this.#steps.set(from, known)
    const key = keyOf(action)
    let step = known.get(key)
    if (step === undefined) {
      step = this.#makeStep(this.#ready(from, action), action)
      known.set(key, step)
    }
    return step
  }

  #makeStep(from: MachineState, action: CaseAction): MachineStep {
    const { machine } = this
    const run = runAction(action)
    if (run === undefined) return { minutes: 0, cost: 0, chance: () => undefined, tries: () => 0 }
    const { minutes, cost, tries, reads } = effectOf(machine, from.job, run)
    const all = reads.length > 0 || from.doubtful ? [] : outcomes(machine, from, run)
    const isKnown = from.hypotheses.length > 0 && !from.doubtful
    const find = (found: Found) => all.find((each) => each.found === found)
    return {
      minutes,
      cost,
      chance: (found) => (isKnown ? (find(found)?.chance ?? 0) : undefined),
      tries: (found) => find(found)?.tries ?? (found === "gone" ? tries : Math.min(1, tries)),
    }
  }

  /** The machine after an action that came out so; `leftIn`: the known-good parts of a swap stay in after `stays`. */
  after(from: MachineState, action: CaseAction, found: Found, leftIn = false): MachineState {
    if (typeof found !== "string") return from
    const known = this.#next.get(from) ?? new Map<string, MachineState>()
    this.#next.set(from, known)
    const key = `${keyOf(action)} ${found}${leftIn ? " in" : ""}`
    let state = known.get(key)
    if (state === undefined) {
      if (this.#kept++ > MOST_KEPT) {
        this.#kept = 0
        this.#next = new Map()
      }
      state = this.#makeAfter(this.#ready(from, action), action, found, leftIn)
      known.set(key, state)
    }
    return state
  }

  #makeAfter(from: MachineState, action: CaseAction, found: Found, leaveIn: boolean): MachineState {
    const { machine } = this
    const run = runAction(action)
    if (run === undefined) return from
    const chosen = run.do === "test" ? { ...run, leaveIn } : run
    const doubtful = found === "stays" || found === "fails" ? false : from.doubtful
    const way = doubtful ? undefined : outcomes(machine, from, chosen).find((each) => each.found === found)
    if (way) return this.#stateOf(way.belief.job, way.belief.hypotheses, false)
    const job = jobAfter(machine, from.job, chosen, effectOf(machine, from.job, chosen), found)
    const isGone = found === "gone" || found === "holds"
    if (from.hypotheses.every(isUnlisted)) return this.#stateOf(job, from.hypotheses, doubtful || isGone)
    // It cannot have come out so: something that the ruleset does not know of has cured it, or what was cured was not.
    const curedAt = isGone ? from.job.time : Number.POSITIVE_INFINITY
    const [first] = from.hypotheses
    const state = first && { ...first, curedA: curedAt, curedB: curedAt, weight: 1 }
    return this.#stateOf(job, state ? [state] : [], false)
  }

  /** A record may leave out that a part was fitted, which came out or stayed in later. */
  #ready(from: MachineState, action: CaseAction): MachineState {
    if (action.do !== "putBack" && action.do !== "takeOut" && action.do !== "keep") return from
    const { part } = action
    const test = this.#firstSwap.get(part)
    if (from.job.fitted.has(part) || test === undefined) return from
    const job = { ...from.job, fitted: new Map([...from.job.fitted, [part, test] as const]) }
    return this.#stateOf(job, from.hypotheses, from.doubtful)
  }

  /** Chance of a cell of a reading or told question; undefined where nobody confirmed anything. */
  cellChance({ job, hypotheses }: MachineState, reading: ReadingIndex, cell: CellIndex): number | undefined {
    if (hypotheses.length === 0) return undefined
    let chance = 0
    for (const h of hypotheses) chance += h.weight * cellChance(this.machine, job, h, reading, cell)
    return chance
  }

  /** The machine after a reading, which tells whether something was cured and will be the same if taken again. */
  observed(from: MachineState, reads: readonly ReadingIndex[], cells: readonly CellIndex[]): MachineState {
    const { machine } = this
    const hypotheses = from.hypotheses.map((h) => {
      let { weight } = h
      reads.forEach((reading, i) => {
        weight *= cellChance(machine, from.job, h, reading, at(cells, i))
      })
      return { ...h, weight }
    })
    const sum = hypotheses.reduce((all, { weight }) => all + weight, 0)
    let job = from.job
    reads.forEach((reading, i) => {
      const read: Action = { do: "read", reading }
      job = jobAfter(machine, job, read, effectOf(machine, job, read), [at(cells, i)])
    })
    if (sum === 0) return this.#stateOf(job, from.hypotheses, from.doubtful)
    const left = hypotheses.filter(({ weight }) => weight > 0).map((h) => ({ ...h, weight: h.weight / sum }))
    return this.#stateOf(job, left, from.doubtful)
  }

  /** Bits of `MachineState.status` that decide what a reading shows. */
  speaking({ hypotheses: [first] }: MachineState, reading: ReadingIndex): number {
    if (first === undefined || first.a === -1) return 3
    const { shows } = this.machine
    return (
      (at(shows, first.a).has(reading) ? 3 : 0) | (first.b !== -1 && at(shows, first.b).has(reading) ? 12 : 0)
    )
  }

  #stateOf(job: Job, hypotheses: readonly Hypothesis[], doubtful: boolean): MachineState {
    const { machine } = this
    const [first] = hypotheses
    if (first === undefined || first.a === -1) {
      const whole = first === undefined ? Number.NaN : doubtful ? 0.5 : 0
      return { job, hypotheses, status: doubtful ? 2 : 0, out: 0, whole, doubtful }
    }
    let activeA = 0
    let activeB = 0
    let whole = 0
    for (const h of hypotheses) {
      const bits = activeNow(machine, h, job)
      activeA += bits & 1 ? h.weight : 0
      activeB += bits & 2 ? h.weight : 0
      if (!isActive(machine, h, job)) whole += h.weight
    }
    const code = (chance: number) => (chance < NEARLY ? 1 : chance > 1 - NEARLY ? 0 : 2)
    const isOut = (fault: FaultIndex | -1) => fault !== -1 && job.fitted.has(at(machine.faults, fault).place)
    return {
      job,
      hypotheses,
      status: code(activeA) | (first.b === -1 ? 0 : code(activeB) << 2),
      out: (isOut(first.a) ? 1 : 0) | (isOut(first.b) ? 2 : 0),
      whole,
      doubtful,
    }
  }
}

function hypothesesOf(confirmed: Confirmed): Hypothesis[] {
  if (confirmed.kind === "unknown") return []
  const [a = -1, b = -1] = confirmed.kind === "faults" ? confirmed.faults : []
  const never = Number.POSITIVE_INFINITY
  return [{ a, b, curedA: never, curedB: never, weight: 1, acted: [] }]
}

/** Undefined for a reading that was learnt without a test, which the runner takes one by one. */
function runAction(action: CaseAction): Exclude<Action, { readonly do: "read" }> | undefined {
  return action.do === "read" ? undefined : action.do === "test" ? { do: "test", test: action.test } : action
}

/** One text for one kind of work: `test 3`, `putBack 0`, `look`. */
export function keyOf(action: CaseAction): string {
  if (action.do === "test") return `test ${action.test}`
  if (action.do === "fix") return `fix ${action.fault}`
  return "part" in action ? `${action.do} ${action.part}` : action.do
}
