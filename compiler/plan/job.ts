import { type Closing, closingOf, countingAfter } from "./closing.ts"
import { evaluate, FALSE, TRUE } from "./condition.ts"
import { Interned } from "./interned.ts"
import { has, type NumberSet, NumberSets } from "./number-sets.ts"
import { awaitedIn, type Problem } from "./problem.ts"
import type { Step } from "./steps.ts"

/** A part that is replaced by the shop's known-good one at the moment. */
export interface Fitted {
  readonly part: number
  /** The test that fitted it. */
  readonly test: number
  /** It stayed in although the complaint stayed. */
  readonly leftIn: boolean
}

/** What everybody at the bench knows of a job, whatever is wrong with the machine. Interned: equal jobs are one. */
export interface Job {
  readonly id: number
  /** By part, rising. */
  readonly fitted: readonly Fitted[]
  /** By fault: 1 where its part isn't in the machine. */
  readonly out: Uint8Array
  /** The last look gave `gone`, and nothing has changed since. */
  readonly isGone: boolean
  /** Proofs that count. */
  readonly proofs: readonly number[]
  readonly closing: Closing
  /** Steps that may be done; `close` by its look alone. Worked out when asked: a search has many more jobs than it asks. */
  readonly steps: readonly number[]
  /** Whether a step is among them; `ahead`: or is a test that waits for another one or for a finding that is still to come. */
  isOpen(step: number, ahead: boolean): boolean
  readonly waiting: Waiting
}

export const GONE = -1
export const STAYS = -2
export const DONE = -3
export const HOLDS = -4
export const FAILS = -5

/** Parts that are fitted, and the faults that are out with them. */
interface Fitting {
  readonly number: number
  readonly fitted: readonly Fitted[]
  readonly out: Uint8Array
}

/** Proofs that count. */
interface Counting {
  readonly number: number
  readonly proofs: readonly number[]
  readonly closing: Closing
}

/** By reading that an `only if` asks for: the cell found last, else -1. */
interface Found {
  readonly number: number
  readonly cells: Int32Array
}

/** What tests wait for: those done in this job of which another asks, and what was found last (see `Found`). */
export interface Waiting {
  readonly number: number
  readonly before: NumberSet
  readonly found: Int32Array
}

/** What makes a job; each field is one object wherever it is equal. */
interface Draft {
  readonly fitting: Fitting
  /** Tests done since the last repair, told questions at any time; a swap once for each set of parts fitted before. */
  readonly done: NumberSet
  /** Tests done in this job of which another asks (`after`). */
  readonly before: NumberSet
  /** Repairs done, by step. */
  readonly repaired: NumberSet
  /** The machine has been changed and not been looked at again by `look again`. */
  readonly mayLook: boolean
  readonly isGone: boolean
  readonly counting: Counting
  readonly found: Found
}

class InternedJob implements Job {
  readonly id: number
  readonly draft: Draft
  readonly #jobs: Jobs
  /** By step and look: the job after it. */
  readonly following = new Map<number, InternedJob>()

  constructor(jobs: Jobs, id: number, draft: Draft) {
    this.#jobs = jobs
    this.id = id
    this.draft = draft
  }

  get fitted(): readonly Fitted[] {
    return this.draft.fitting.fitted
  }

  get out(): Uint8Array {
    return this.draft.fitting.out
  }

  get isGone(): boolean {
    return this.draft.isGone
  }

  get proofs(): readonly number[] {
    return this.draft.counting.proofs
  }

  get closing(): Closing {
    return this.draft.counting.closing
  }

  get steps(): readonly number[] {
    return this.#jobs.open(this.draft)
  }

  isOpen(step: number, ahead: boolean): boolean {
    return this.#jobs.isOpen(this.draft, step, ahead)
  }

  get waiting(): Waiting {
    return this.#jobs.waitingOf(this.draft)
  }
}

/** What a job takes, with its place in the index and those that follow it: measured, V8 in Node 20. */
const BYTES_OF_JOB = 800

export class Jobs {
  readonly first: Job
  readonly #problem: Problem
  readonly #known = new Interned<InternedJob>()
  readonly #sets = new NumberSets()
  readonly #fittings = new Interned<Fitting>()
  /** By parts: which faults are out with them. */
  readonly #outs = new Interned<Uint8Array>()
  readonly #countings = new Interned<Counting>()
  readonly #findings = new Interned<Found>()
  readonly #waiting = new Interned<Waiting>()
  /** What can be done once: a test, or a swap with other parts fitted before it. */
  readonly #doable = new Interned<number>()
  readonly #told: NumberSet
  /** By reading: whether an `only if` asks for it. */
  readonly #asked: readonly boolean[]
  /** By test: whether an `after` asks for it. */
  readonly #opens: readonly boolean[]

  constructor(problem: Problem) {
    const { tests, readings, proofs } = problem.model
    this.#problem = problem
    const awaited = awaitedIn(problem)
    this.#asked = readings.map((_, r) => awaited.readings.has(r))
    this.#opens = tests.map((_, t) => awaited.tests.has(t))
    const { none } = this.#sets
    this.#told = tests.reduce((so, { kind }, t) => (kind === "told" ? this.#sets.with(so, t) : so), none)
    this.first = this.#intern({
      fitting: this.#fittingOf([]),
      done: none,
      before: none,
      repaired: none,
      mayLook: false,
      isGone: false,
      counting: this.#countingOf([...proofs.keys()].filter((i) => proofs[i]!.places.length === 0)),
      found: this.#foundOf(new Int32Array(readings.length).fill(-1)),
    })
  }

  /** Memory of the process that all jobs take, about. */
  get bytes(): number {
    return BYTES_OF_JOB * this.#known.size
  }

  /** The job after a step that came out so; `cells`: by reading of the step, what was found. */
  after(job: Job, index: number, outcome: number, cells: readonly number[] = []): Job {
    const { draft, following } = job as InternedJob
    if (this.#problem.steps[index]!.reads.some((reading) => this.#asked[reading]))
      return this.#make(draft, index, outcome, cells)
    // What was found doesn't matter, only which look it was.
    const key = 8 * index + Math.max(0, -outcome)
    let next = following.get(key)
    if (next === undefined) {
      next = this.#make(draft, index, outcome, cells)
      following.set(key, next)
    }
    return next
  }

  #make(draft: Draft, index: number, outcome: number, cells: readonly number[]): InternedJob {
    const step = this.#problem.steps[index]!
    if (step.kind === "close") return this.#intern({ ...draft, isGone: false })
    const isRepair = step.kind === "keep" || step.kind === "replace" || step.kind === "fix"
    const isFinding = step.kind === "reads" || step.kind === "told"
    const changes = !isFinding && step.kind !== "look" && step.kind !== "keep"
    const isTest = step.test >= 0 && step.kind !== "putBack"
    return this.#intern({
      fitting: this.#fittingAfter(draft.fitting, step, outcome),
      done: isRepair
        ? this.#sets.within(draft.done, this.#told)
        : isTest
          ? this.#sets.with(draft.done, this.#doing(draft, step))
          : draft.done,
      before: isTest && this.#opens[step.test] ? this.#sets.with(draft.before, step.test) : draft.before,
      repaired: isRepair ? this.#sets.with(draft.repaired, index) : draft.repaired,
      mayLook: changes || (draft.mayLook && step.kind !== "look"),
      isGone: isFinding || step.kind === "keep" ? draft.isGone : outcome === GONE && step.kind !== "removes",
      counting: this.#countingAfter(draft.counting, step),
      found: this.#foundAfter(draft.found, step, cells),
    })
  }

  #intern(draft: Draft): InternedJob {
    const { fitting, done, before, repaired, mayLook, isGone, counting, found } = draft
    const flags = (mayLook ? 2 : 0) + (isGone ? 1 : 0)
    const key = `${done.number},${repaired.number},${before.number},${found.number},${fitting.number},${counting.number},${flags}`
    return this.#known.of(key, (id) => new InternedJob(this, id, draft))
  }

  /** The number of what a test does once; of a swap once for each set of parts that were fitted before it. */
  #doing({ fitting }: Draft, { kind, test }: Step): number {
    if (kind !== "swaps" || fitting.fitted.length === 0) return test
    const key = `${test}:${fitting.fitted.map(({ part }) => part).join()}`
    return this.#doable.of(key, (number) => this.#problem.model.tests.length + number)
  }

  #fittingAfter(fitting: Fitting, step: Step, outcome: number): Fitting {
    const { kind, parts, test, leaveIn, subject } = step
    if (kind === "swaps") {
      if (outcome === STAYS && !leaveIn) return fitting
      const added = parts.map((part) => ({ part, test, leftIn: outcome === STAYS }))
      return this.#fittingOf([...fitting.fitted, ...added].sort((a, b) => a.part - b.part))
    }
    if (kind !== "takeOut" && kind !== "putBack" && kind !== "keep") return fitting
    return this.#fittingOf(fitting.fitted.filter(({ part }) => part !== subject))
  }

  #fittingOf(fitted: readonly Fitted[]): Fitting {
    const key = fitted.map(({ part, test, leftIn }) => `${part}:${test}:${leftIn ? 1 : 0}`).join()
    return this.#fittings.of(key, (number) => ({ number, fitted, out: this.#outOf(fitted) }))
  }

  /** By fault: whether it is in one of these parts. Fittings with the same parts out share it. */
  #outOf(fitted: readonly Fitted[]): Uint8Array {
    const parts = fitted.map(({ part }) => part)
    return this.#outs.of(parts.join(), () =>
      Uint8Array.from(this.#problem.place, (place) => (parts.includes(place) ? 1 : 0)),
    )
  }

  #countingAfter(counting: Counting, { touches }: Step): Counting {
    const proofs = countingAfter(this.#problem, counting.proofs, touches)
    return proofs === counting.proofs ? counting : this.#countingOf(proofs)
  }

  #countingOf(proofs: readonly number[]): Counting {
    return this.#countings.of(proofs.join(), (number) => ({
      number,
      proofs,
      closing: closingOf(this.#problem, proofs),
    }))
  }

  #foundAfter(found: Found, { reads }: Step, cells: readonly number[]): Found {
    if (!reads.some((reading) => this.#asked[reading])) return found
    const next = found.cells.slice()
    reads.forEach((reading, i) => {
      if (this.#asked[reading]) next[reading] = cells[i]!
    })
    return this.#foundOf(next)
  }

  #foundOf(cells: Int32Array): Found {
    return this.#findings.of(cells.join(), (number) => ({ number, cells }))
  }

  waitingOf({ before, found }: Draft): Waiting {
    const key = `${before.number},${found.number}`
    return this.#waiting.of(key, (number) => ({ number, before, found: found.cells }))
  }

  /** The steps that may be done. */
  open(draft: Draft): number[] {
    const open: number[] = []
    for (let index = 0; index < this.#problem.steps.length; index++)
      if (this.isOpen(draft, index, false)) open.push(index)
    return open
  }

  isOpen(draft: Draft, index: number, ahead: boolean): boolean {
    const step = this.#problem.steps[index]!
    const { fitted } = draft.fitting
    switch (step.kind) {
      case "look":
        return draft.mayLook
      case "close":
        return draft.isGone && fitted.length === 0
      case "takeOut":
        return fitted.some(({ part, leftIn }) => part === step.subject && leftIn)
      case "putBack":
        return fitted.some(({ part, test }) => part === step.subject && test === step.test)
      case "keep":
        return !has(draft.repaired, index) && isFitted(fitted, step.subject)
      case "replace":
        if (has(draft.repaired, index) || isFitted(fitted, step.subject)) return false
        return this.#isReady(draft, step, ahead)
      case "fix":
        if (has(draft.repaired, index) || isFitted(fitted, this.#problem.place[step.subject]!)) return false
        return this.#isReady(draft, step, ahead)
      default:
        return this.#isTestOpen(draft, step, ahead)
    }
  }

  #isTestOpen(draft: Draft, step: Step, ahead: boolean): boolean {
    if (has(draft.done, this.#doing(draft, step)) || !this.#isReady(draft, step, ahead)) return false
    const { fitted } = draft.fitting
    if (fitted.length === 0 || (step.kind !== "swaps" && step.kind !== "removes")) return true
    return !step.parts.some((part) => isFitted(fitted, part))
  }

  /** Whether all that must be done or known before a step is; `ahead`: or may yet be. */
  #isReady(draft: Draft, { gate }: Step, ahead: boolean): boolean {
    if (gate === undefined) return true
    const { after, afterAny, onlyIf } = gate
    const truth = onlyIf === undefined ? TRUE : evaluate(onlyIf, draft.found.cells)
    if (ahead || truth === FALSE) return truth !== FALSE
    if (truth !== TRUE || !after.every((each) => has(draft.before, each))) return false
    return afterAny.length === 0 || afterAny.some((each) => has(draft.before, each))
  }
}

function isFitted(fitted: readonly Fitted[], part: number): boolean {
  return fitted.some((each) => each.part === part)
}
