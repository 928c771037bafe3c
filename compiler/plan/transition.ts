import { Branching } from "./branching.ts"
import { activeOf } from "./fault-states.ts"
import { DONE, FAILS, GONE, HOLDS, Jobs, STAYS } from "./job.ts"
import { type Looks, makeLooks, triesMade } from "./looks.ts"
import { BLANK, Memories } from "./memory.ts"
import { OutOfMachine } from "./out-of-machine.ts"
import { outcomesOf, type Problem, readingsIn } from "./problem.ts"
import { ProofRun } from "./proof-run.ts"
import { makeReadings, type Readings } from "./readings.ts"
import { NO_CHANCE, type Scratch, type State } from "./state.ts"
import type { Step } from "./steps.ts"

/** What a step can lead to; no outcomes where it may not be done, or no hypothesis is left. */
export interface Transition {
  readonly outcomes: readonly Outcome[]
  /** Expected money of the step; its look, its proof run and machines that come back included. */
  readonly cost: number
  /** Tries of its look on average. */
  readonly tries: number
  /** Chance that the job ends with this step and the machine comes back. */
  readonly comesBack: number
  /** Weights that rules took, and nevers of the rest, before dividing. */
  readonly struck: number
  readonly forbidden: number
}

export interface Outcome {
  /** Number of the combination of cells, or one of `GONE`, `STAYS`, `DONE`, `HOLDS` and `FAILS`. */
  readonly label: number
  readonly chance: number
  /** Part of the outcome that its state leaves out. */
  readonly leftOut: number
  /** Undefined after `HOLDS`: the job ends. */
  readonly state: State | undefined
  /** Rules that took something on the way to this outcome. */
  readonly because: readonly number[]
}

const TRUST_MARGIN = 1e-9

const LOOKED: readonly number[] = [GONE, STAYS]
const UNLOOKED: readonly number[] = [DONE]

const CLOSED: Transition = { outcomes: [], cost: 0, tries: 0, comesBack: 0, struck: 0, forbidden: 0 }

/** The dynamics of a job (the reference's formulas.md, "Actions"). */
export class Dynamics {
  readonly problem: Problem
  readonly jobs: Jobs
  readonly memories: Memories
  readonly readings: Readings
  readonly looks: Looks
  readonly branching: Branching
  /** By step that reads: its combinations of cells. */
  readonly #combinations = new Map<number, readonly (readonly number[])[]>()
  /** By reading: whether a rule or never names it. */
  readonly #readInLaws: readonly boolean[]
  readonly #everyReading: readonly boolean[]
  #product = new Float64Array(64)
  /** By fault: 1 where a step may cure it; written anew for a step that moves parts. */
  readonly #cured: readonly Uint8Array[]
  readonly #moved: Uint8Array
  readonly out: OutOfMachine
  readonly #proofRun: ProofRun

  constructor(problem: Problem) {
    this.problem = problem
    this.jobs = new Jobs(problem)
    this.memories = new Memories(problem)
    this.readings = makeReadings(problem)
    this.looks = makeLooks(problem)
    this.branching = new Branching(problem, this.memories)
    this.out = new OutOfMachine(problem)
    this.#proofRun = new ProofRun(problem.states.count, this.looks, this.readings, this.memories)
    const conditions = [...problem.rules.map(({ condition }) => condition), ...problem.nevers]
    const inLaws = new Set(conditions.flatMap((condition) => [...readingsIn(condition)]))
    this.#readInLaws = problem.model.readings.map((_, r) => inLaws.has(r))
    this.#everyReading = problem.model.readings.map(() => true)
    this.#cured = problem.steps.map(({ cures }) => Uint8Array.from(cures, (chance) => (chance > 0 ? 1 : 0)))
    this.#moved = new Uint8Array(problem.model.faults.length)
  }

  /** A machine that has just come in, with all that can be wrong or, where it is known, in one state. */
  start(only?: number): State {
    const { count, prior } = this.problem.states
    const states = only === undefined ? Array.from({ length: count }, (_, state) => state) : [only]
    const sum = states.reduce((so, state) => so + prior[state]!, 0)
    return {
      job: this.jobs.first,
      ids: Int32Array.from(states, (state) => 4 * state),
      memories: new Int32Array(states.length).fill(BLANK),
      weights: Float64Array.from(states, (state) => prior[state]! / sum),
    }
  }

  /** What doing one of the job's steps leads to; the states after it are in `scratch`, if that is given. */
  after(state: State, index: number, scratch?: Scratch): Transition {
    const step = this.problem.steps[index]!
    if (step.kind === "close") return this.#close(state, index, scratch)
    const { branching, jobs, problem } = this
    const labels = this.#spread(state, index, this.#everyReading)
    if (branching.total === 0) return CLOSED
    const reads = step.reads.length > 0 ? this.cellsOf(index) : undefined
    const outcomes = labels.flatMap((label, o): Outcome[] => {
      const chance = branching.chance(o)
      if (chance === 0) return []
      const job = jobs.after(state.job, index, label, reads?.[o])
      const leftOut = branching.leaveOut(o)
      const because = branching.rules(o)
      return [{ label, chance, leftOut, state: branching.state(o, job, scratch), because }]
    })
    const tries = branching.tries / branching.total
    const { struck, forbidden } = branching
    return { outcomes, cost: step.cost + tries * problem.tryCost, tries, comesBack: 0, struck, forbidden }
  }

  /**
   * Fills `branching` with what a step other than `close` makes of the hypotheses; returns the labels of its outcomes.
   * Memories are kept only as far as rules and nevers ask for them: nobody goes on from here.
   */
  weigh(state: State, index: number): readonly number[] {
    return this.#spread(state, index, this.#readInLaws)
  }

  /** The same; `kept`: by reading, whether it is remembered what was found. */
  #spread(state: State, index: number, kept: readonly boolean[]): readonly number[] {
    const step = this.problem.steps[index]!
    if (step.reads.length > 0) return this.#read(state, index, step, kept)
    return this.#change(state, index, step.tries > 0 ? LOOKED : UNLOOKED)
  }

  /** By outcome of a step that reads: one cell for each of its readings. */
  cellsOf(index: number): readonly (readonly number[])[] {
    let found = this.#combinations.get(index)
    if (found === undefined) {
      found = this.problem.steps[index]!.reads.reduce(
        (rows: number[][], r) =>
          rows.flatMap((row) => this.problem.model.readings[r]!.cells.map((_, cell) => [...row, cell])),
        [[]],
      )
      this.#combinations.set(index, found)
    }
    return found
  }

  #read(state: State, index: number, step: Step, kept: readonly boolean[]): readonly number[] {
    const { branching, problem } = this
    const count = outcomesOf(problem.model, step.test)
    branching.reset(count)
    if (this.#product.length < count) this.#product = new Float64Array(count)
    const cells = this.cellsOf(index)
    const { ids, memories, weights, job } = state
    let after: number[] = []
    let memory = -1
    let active = -1
    for (let k = 0; k < ids.length; k++) {
      const here = activeOf(problem.states, ids[k]! >> 2, ids[k]! & 3, job.out)
      if (here !== active || memories[k] !== memory) {
        active = here
        memory = memories[k]!
        after = []
      }
      this.#multiply(step, ids[k]! >> 2, active, memory)
      branching.begin(weights[k]!)
      for (let o = 0; o < count; o++) {
        if (this.#product[o]! < NO_CHANCE) continue
        after[o] ??= this.#remember(step, cells[o]!, active, memory, kept)
        branching.branch(o, ids[k]!, active, after[o]!, this.#product[o]!)
      }
      branching.end()
    }
    return Array.from(cells.keys())
  }

  /** Fills `product` with the chance of each combination of cells in one hypothesis. */
  #multiply({ reads }: Step, state: number, active: number, memory: number): void {
    const product = this.#product
    product[0] = 1
    let size = 1
    for (const r of reads) {
      const count = this.problem.model.readings[r]!.cells.length
      const again = this.memories.repeated(memory, r, this.readings.speaking(r, state), active)
      const chances = again < 0 ? this.readings.distribution(r, state, active) : undefined
      // From the end, since the places of the shorter combinations are written over.
      for (let row = size - 1; row >= 0; row--) {
        const before = product[row]!
        for (let cell = 0; cell < count; cell++)
          product[row * count + cell] = chances ? before * chances[cell]! : cell === again ? before : 0
      }
      size *= count
    }
  }

  #remember(
    { reads }: Step,
    cells: readonly number[],
    active: number,
    memory: number,
    kept: readonly boolean[],
  ): number {
    let after = memory
    reads.forEach((r, i) => {
      if (kept[r]) after = this.memories.take(after, r, cells[i]!, active)
    })
    return after
  }

  /** Everything that fits, redoes, repairs or looks. */
  #change(state: State, index: number, labels: readonly number[]): readonly number[] {
    const { branching, problem } = this
    const step = problem.steps[index]!
    const { ids, memories, weights, job } = state
    const next = labels.map((label) => this.out.after(job, step, label))
    const looked = step.kind === "removes" ? job.out.map((is, f) => is | step.away[f]!) : next[0]!
    branching.reset(labels.length)
    const moves = looked !== job.out || next.some((out) => out !== job.out)
    const touched = moves ? this.#touched(index, job.out, [looked, ...next]) : this.#cured[index]!
    const isLook = labels.length > 1
    for (let k = 0; k < ids.length; k++) {
      k = this.#passUntouched(state, k, touched, isLook ? step.tries : 0)
      if (k === ids.length) break
      branching.begin(weights[k]!)
      this.#branches(step, ids[k]!, memories[k]!, looked, next)
      branching.end()
    }
    return labels
  }

  /** By fault: 1 where a step may cure it, or its part comes or goes. */
  #touched(index: number, out: Uint8Array, outs: readonly Uint8Array[]): Uint8Array {
    const touched = this.#moved
    touched.set(this.#cured[index]!)
    for (const each of outs) for (let f = 0; f < out.length; f++) if (each[f] !== out[f]) touched[f] = 1
    return touched
  }

  /**
   * Passes the hypotheses from `from` on that a step leaves as they are: rules and nevers have had their say before.
   * Returns where the first one is that it touches. Most hypotheses of most steps come this way.
   */
  #passUntouched(
    { ids, memories, weights, job: { out } }: State,
    from: number,
    touched: Uint8Array,
    tries: number,
  ): number {
    const { branching } = this
    const { quiet } = this.problem
    const { first, second } = this.problem.states
    const gone = this.looks.goneBy(tries)
    for (let k = from; k < ids.length; k++) {
      const id = ids[k]!
      const f = first[id >> 2]!
      const g = second[id >> 2]!
      const hasF = f >= 0 && (id & 1) === 0
      const hasG = g >= 0 && (id & 2) === 0
      if ((hasF && touched[f] === 1) || (hasG && touched[g] === 1)) return k
      if (tries === 0) {
        branching.pass(0, id, memories[k]!, weights[k]!)
        continue
      }
      // Something not listed always shows the complaint.
      let isGone = f < 0 ? 0 : 1
      let isQuiet = isGone
      if (hasF && out[f] === 0) {
        isGone = gone[f]!
        isQuiet = quiet[f]!
      }
      if (hasG && out[g] === 0) {
        isGone *= gone[g]!
        isQuiet *= quiet[g]!
      }
      branching.passLook(id, memories[k]!, weights[k]!, isGone, triesMade(isQuiet, tries, isGone))
    }
    return ids.length
  }

  /** Tries made on average by a look that shows the complaint. */
  #unmade(state: number, active: number, gone: number, tries: number): number {
    const made = triesMade(this.looks.quiet(state, active), tries, gone)
    return (made - tries * gone) / (1 - gone)
  }

  /** The branches of one hypothesis: what is cured, and whether the complaint is gone. */
  #branches(step: Step, id: number, memory: number, looked: Uint8Array, next: readonly Uint8Array[]): void {
    const { states } = this.problem
    const state = id >> 2
    const cured = id & 3
    const first = states.first[state]!
    const second = states.second[state]!
    const a = first < 0 || (cured & 1) !== 0 ? 0 : step.cures[first]!
    const b = second < 0 || (cured & 2) !== 0 ? 0 : step.cures[second]!
    const possible = (a > 0 ? 1 : 0) | (b > 0 ? 2 : 0)
    for (let more = 0; more <= possible; more++) {
      if ((more & ~possible) !== 0) continue
      const chance = ((more & 1) === 0 ? 1 - a : a) * ((more & 2) === 0 ? 1 - b : b)
      if (chance < NO_CHANCE) continue
      const now = 4 * state + (cured | more)
      // After `removes` the parts go in again, and what is redone on the way is redone, only after the look.
      const seen = step.kind === "removes" ? cured : cured | more
      if (next.length === 1) {
        this.branching.branch(0, now, activeOf(states, state, now & 3, next[0]!), memory, chance)
      } else this.#look(step, now, activeOf(states, state, seen, looked), memory, chance, next)
    }
  }

  #look(
    step: Step,
    id: number,
    active: number,
    memory: number,
    chance: number,
    next: readonly Uint8Array[],
  ): void {
    const { states } = this.problem
    const state = id >> 2
    const gone = this.looks.gone(state, active, step.tries)
    if (gone > 0)
      this.branching.branch(
        0,
        id,
        activeOf(states, state, id & 3, next[0]!),
        memory,
        chance * gone,
        step.tries,
      )
    if (gone === 1) return
    const unmade = this.#unmade(state, active, gone, step.tries)
    this.branching.branch(
      1,
      id,
      activeOf(states, state, id & 3, next[1]!),
      memory,
      chance * (1 - gone),
      unmade,
    )
  }

  /** The proof run; it teaches nothing but that it fails. */
  #close(state: State, index: number, scratch?: Scratch): Transition {
    const { branching, problem } = this
    const { ids, memories, weights, job } = state
    branching.reset(1)
    const holding = this.#proofRun.of(job)
    let holds = 0
    let comesBack = 0
    for (let k = 0; k < ids.length; k++) {
      const active = activeOf(problem.states, ids[k]! >> 2, ids[k]! & 3, job.out)
      const chance = holding(ids[k]! >> 2, active, memories[k]!)
      holds += weights[k]! * chance
      const isWrong = active !== 0 || problem.states.first[ids[k]! >> 2]! < 0
      if (isWrong) comesBack += weights[k]! * chance
      if (1 - chance >= NO_CHANCE) branching.pass(0, ids[k]!, memories[k]!, weights[k]! * (1 - chance))
    }
    const isTrusted = holds - comesBack >= (problem.trust - TRUST_MARGIN) * holds
    if (holds < NO_CHANCE || !isTrusted) return CLOSED
    const outcomes: Outcome[] = [{ label: HOLDS, chance: holds, leftOut: 0, state: undefined, because: [] }]
    if (branching.total > NO_CHANCE) {
      const next = this.jobs.after(job, index, FAILS)
      outcomes.push({
        label: FAILS,
        chance: 1 - holds,
        leftOut: branching.leaveOut(0),
        state: branching.state(0, next, scratch),
        because: [],
      })
    }
    const cost = job.closing.cost + comesBack * problem.comeback
    return { ...CLOSED, outcomes, cost, comesBack }
  }
}
