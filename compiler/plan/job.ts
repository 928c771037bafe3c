import type { Condition } from "../model/model.ts"
import { evaluate, FALSE, TRUE } from "./condition.ts"
import { type Problem, readingsIn } from "./problem.ts"
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
  /** Tests done since the last repair, told questions at any time; a swap once for each set of parts fitted before. */
  readonly done: ReadonlySet<string>
  /** Tests done in this job of which another asks (`after`). */
  readonly before: ReadonlySet<number>
  /** Repairs done, by step. */
  readonly repaired: ReadonlySet<number>
  /** The machine has been changed and not been looked at again by `look again`. */
  readonly mayLook: boolean
  /** The last look gave `gone`, and nothing has changed since. */
  readonly isGone: boolean
  /** Proofs that count. */
  readonly proofs: readonly number[]
  /** By reading that an `only if` asks for: the cell found last, else -1. */
  readonly found: Int32Array
  /** Steps that may be done; `close` by its look alone. */
  readonly steps: readonly number[]
  /** These, and tests that wait for another one or for a finding that is still to come. */
  readonly ahead: readonly number[]
  readonly closing: Closing
}

/** The proof run of the proofs that count. */
export interface Closing {
  readonly cost: number
  readonly minutes: number
  /** Tries of the complaint, all proofs together. */
  readonly tries: number
  /** Readings that must be in these cells. */
  readonly expects: readonly { readonly reading: number; readonly cells: readonly boolean[] }[]
}

export const GONE = -1
export const STAYS = -2
export const DONE = -3
export const HOLDS = -4
export const FAILS = -5

type Draft = Omit<Job, "id" | "out" | "steps" | "ahead" | "closing">

/** Works out what may be done when first asked: of many a job only its end is looked at. */
class InternedJob implements Job {
  readonly id: number
  readonly fitted: readonly Fitted[]
  readonly done: ReadonlySet<string>
  readonly before: ReadonlySet<number>
  readonly repaired: ReadonlySet<number>
  readonly mayLook: boolean
  readonly isGone: boolean
  readonly proofs: readonly number[]
  readonly found: Int32Array
  readonly out: Uint8Array
  readonly closing: Closing
  private readonly problem: Problem
  private listed: readonly number[] | undefined
  private open: readonly number[] | undefined

  constructor(problem: Problem, id: number, draft: Draft, out: Uint8Array, closing: Closing) {
    this.problem = problem
    this.id = id
    this.fitted = draft.fitted
    this.done = draft.done
    this.before = draft.before
    this.repaired = draft.repaired
    this.mayLook = draft.mayLook
    this.isGone = draft.isGone
    this.proofs = draft.proofs
    this.found = draft.found
    this.out = out
    this.closing = closing
  }

  get steps(): readonly number[] {
    this.open ??= stepsOpen(this.problem, this, false)
    return this.open
  }

  get ahead(): readonly number[] {
    this.listed ??= stepsOpen(this.problem, this, true)
    return this.listed
  }
}

export class Jobs {
  readonly first: Job
  private readonly known = new Map<string, Job>()
  /** By job, by step and look: the job after it. */
  private readonly following = new Map<Job, Map<number, Job>>()
  private readonly closings = new Map<string, Closing>()
  private readonly outs = new Map<string, Uint8Array>()
  private readonly problem: Problem
  /** By reading: whether an `only if` asks for it. */
  private readonly asked: readonly boolean[]
  /** By test: whether an `after` asks for it. */
  private readonly opens: readonly boolean[]

  constructor(problem: Problem) {
    const { tests, readings, proofs } = problem.model
    this.problem = problem
    const conditions = tests.flatMap(({ onlyIf }): Condition[] => (onlyIf ? [onlyIf] : []))
    const asked = new Set(conditions.flatMap((condition) => [...readingsIn(condition)]))
    this.asked = readings.map((_, r) => asked.has(r))
    const opens = new Set(tests.flatMap(({ after, afterAny }) => [...after, ...afterAny]))
    this.opens = tests.map((_, t) => opens.has(t))
    this.first = this.intern({
      fitted: [],
      done: new Set(),
      before: new Set(),
      repaired: new Set(),
      mayLook: false,
      isGone: false,
      proofs: [...proofs.keys()].filter((i) => proofs[i]!.places.length === 0),
      found: new Int32Array(readings.length).fill(-1),
    })
  }

  /** The job after a step that came out so; `cells`: by reading of the step, what was found. */
  after(job: Job, index: number, outcome: number, cells: readonly number[] = []): Job {
    if (this.problem.steps[index]!.reads.some((reading) => this.asked[reading]))
      return this.make(job, index, outcome, cells)
    // What was found doesn't matter, only which look it was.
    const key = 8 * index + Math.max(0, -outcome)
    let following = this.following.get(job)
    if (following === undefined) {
      following = new Map()
      this.following.set(job, following)
    }
    let next = following.get(key)
    if (next === undefined) {
      next = this.make(job, index, outcome, cells)
      following.set(key, next)
    }
    return next
  }

  private make(job: Job, index: number, outcome: number, cells: readonly number[]): Job {
    const step = this.problem.steps[index]!
    if (step.kind === "close") return this.intern({ ...job, isGone: false })
    const isRepair = step.kind === "keep" || step.kind === "replace" || step.kind === "fix"
    const isFinding = step.kind === "reads" || step.kind === "told"
    const changes = !isFinding && step.kind !== "look" && step.kind !== "keep"
    return this.intern({
      fitted: fittedAfter(job, step, outcome),
      done: this.doneAfter(job, step, isRepair),
      before:
        step.test >= 0 && step.kind !== "putBack" && this.opens[step.test]
          ? new Set([...job.before, step.test])
          : job.before,
      repaired: isRepair ? new Set([...job.repaired, index]) : job.repaired,
      mayLook: changes || (job.mayLook && step.kind !== "look"),
      isGone: isFinding || step.kind === "keep" ? job.isGone : outcome === GONE && step.kind !== "removes",
      proofs: this.proofsAfter(job, step),
      found: this.foundAfter(job, step, cells),
    })
  }

  private doneAfter(job: Job, step: Step, isRepair: boolean): ReadonlySet<string> {
    const { tests } = this.problem.model
    if (isRepair) {
      const told = [...job.done].filter((key) => tests[Number(key)]?.kind === "told")
      return new Set(told)
    }
    if (step.test < 0 || step.kind === "putBack") return job.done
    return new Set([...job.done, doneKey(job, step)])
  }

  private proofsAfter(job: Job, { touches }: Step): readonly number[] {
    const { proofs } = this.problem.model
    if (job.proofs.length === proofs.length || touches.length === 0) return job.proofs
    return [...proofs.keys()].filter(
      (i) => job.proofs.includes(i) || proofs[i]!.places.some((place) => touches.includes(place)),
    )
  }

  private foundAfter(job: Job, { reads }: Step, cells: readonly number[]): Int32Array {
    if (!reads.some((reading) => this.asked[reading])) return job.found
    const found = job.found.slice()
    reads.forEach((reading, i) => {
      if (this.asked[reading]) found[reading] = cells[i]!
    })
    return found
  }

  private intern(draft: Draft): Job {
    const fitted = draft.fitted.map(({ part, test, leftIn }) => `${part}:${test}:${leftIn ? 1 : 0}`)
    const sorted = (all: ReadonlySet<string | number>) => [...all].sort().join()
    const key = [
      fitted.join(),
      sorted(draft.done),
      sorted(draft.before),
      sorted(draft.repaired),
      draft.mayLook ? 1 : 0,
      draft.isGone ? 1 : 0,
      draft.proofs.join(),
      draft.found.join(),
    ].join(";")
    const known = this.known.get(key)
    if (known !== undefined) return known
    const out = this.outOf(draft.fitted.map(({ part }) => part))
    const job = new InternedJob(this.problem, this.known.size, draft, out, this.closingOf(draft.proofs))
    this.known.set(key, job)
    return job
  }

  /** By fault: whether it is in one of these parts. Jobs with the same parts out share it. */
  private outOf(parts: readonly number[]): Uint8Array {
    const key = parts.join()
    let out = this.outs.get(key)
    if (out === undefined) {
      out = Uint8Array.from(this.problem.place, (place) => (parts.includes(place) ? 1 : 0))
      this.outs.set(key, out)
    }
    return out
  }

  private closingOf(counting: readonly number[]): Closing {
    const key = counting.join()
    const known = this.closings.get(key)
    if (known !== undefined) return known
    const { ruleset, proofs, readings } = this.problem.model
    const counted = counting.map((i) => proofs[i]!)
    const minutes = counted.reduce((sum, proof) => sum + proof.times * proof.minutes, 0)
    const closing: Closing = {
      cost: (minutes * ruleset.bench) / 60,
      minutes,
      tries: counted.reduce((sum, { times }) => sum + times, 0),
      expects: readings.flatMap((_, reading) => {
        const wanted = counted.flatMap(({ expects }) => (expects?.reading === reading ? [expects.cells] : []))
        if (wanted.length === 0) return []
        return [{ reading, cells: wanted[0]!.map((_, cell) => wanted.every((cells) => cells[cell])) }]
      }),
    }
    this.closings.set(key, closing)
    return closing
  }
}

/** A test done once; a swap once for each set of parts that were fitted before it. */
function doneKey({ fitted }: Pick<Job, "fitted">, { kind, test }: Step): string {
  return kind === "swaps" ? `${test}:${fitted.map(({ part }) => part).join("+")}` : `${test}`
}

function fittedAfter(job: Job, step: Step, outcome: number): readonly Fitted[] {
  const { kind, parts, test, leaveIn } = step
  if (kind === "swaps") {
    if (outcome === STAYS && !leaveIn) return job.fitted
    const added = parts.map((part) => ({ part, test, leftIn: outcome === STAYS }))
    return [...job.fitted, ...added].sort((a, b) => a.part - b.part)
  }
  if (kind !== "takeOut" && kind !== "putBack" && kind !== "keep") return job.fitted
  return job.fitted.filter(({ part }) => part !== step.subject)
}

function stepsOpen(problem: Problem, job: Draft, ahead: boolean): readonly number[] {
  const open: number[] = []
  for (let index = 0; index < problem.steps.length; index++)
    if (isOpen(problem, job, index, ahead)) open.push(index)
  return open
}

/** `ahead`: or might be once what it waits for is done and found. */
function isOpen(problem: Problem, job: Draft, index: number, ahead: boolean): boolean {
  const step = problem.steps[index]!
  const { kind, subject, parts, test } = step
  const fitted = job.fitted.find(({ part }) => part === subject)
  switch (kind) {
    case "look":
      return job.mayLook
    case "close":
      return job.isGone && job.fitted.length === 0
    case "takeOut":
      return fitted?.leftIn === true
    case "putBack":
      return fitted?.test === test
    case "keep":
      return fitted !== undefined && !job.repaired.has(index)
    case "replace":
      return fitted === undefined && !job.repaired.has(index)
    case "fix": {
      const place = problem.place[subject]!
      return !job.fitted.some(({ part }) => part === place) && !job.repaired.has(index)
    }
  }
  if (job.done.has(doneKey(job, step))) return false
  const { after, afterAny, onlyIf } = problem.model.tests[test]!
  const truth = onlyIf === undefined ? TRUE : evaluate(onlyIf, job.found)
  if (truth === FALSE) return false
  if (!ahead) {
    if (truth !== TRUE || !after.every((each) => job.before.has(each))) return false
    if (afterAny.length > 0 && !afterAny.some((each) => job.before.has(each))) return false
  }
  if (kind !== "swaps" && kind !== "removes") return true
  return !job.fitted.some(({ part }) => parts.includes(part))
}
