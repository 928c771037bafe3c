import type { Job, TakenReading } from "./belief.ts"
import type { CellIndex, FaultIndex, PlaceIndex, ProofIndex, ReadingIndex, TestIndex } from "./indexes.ts"
import { runOf } from "./likelihood.ts"
import type { Machine, Redone } from "./machine.ts"
import type { Found } from "./session-types.ts"

/**
 * One thing that can be done. `leaveIn` of a swap: after `stays` the known-good parts stay in. `read`: a reading that was
 * found without any of the tests.
 */
export type Action =
  | { readonly do: "test"; readonly test: TestIndex; readonly leaveIn?: boolean }
  | { readonly do: "read"; readonly reading: ReadingIndex }
  | { readonly do: "takeOut" | "putBack" | "keep" | "replace"; readonly part: PlaceIndex }
  | { readonly do: "fix"; readonly fault: FaultIndex }
  | { readonly do: "look" }
  | { readonly do: "close" }
  | { readonly do: "handOver" }

/** An action that can be a step to do. */
export type StepAction = Exclude<Action, { readonly do: "read" } | { readonly do: "handOver" }>

/** What an action does to the machine, before anything is found. */
export interface Effect {
  /** Readings found; empty where nothing is read. */
  readonly reads: readonly ReadingIndex[]
  readonly redoes: Redone
  /** Of `removes`: what is redone when the parts go in again, after the look. */
  readonly redoesAfter: Redone
  /** Part all of whose faults are cured. */
  readonly curesPart?: PlaceIndex
  /** Fault that is cured. */
  readonly cures?: FaultIndex
  /** The places whose faults are inactive during the look. */
  readonly out: TakenReading["fitted"]
  /** Tries of its look; 0 where it doesn't look. */
  readonly tries: number
  /** Parts that it swaps, removes, puts back or replaces, and the place of a fix. */
  readonly works: readonly PlaceIndex[]
  readonly minutes: number
  readonly waits: number
  /** Money, waiting and price included, its look not. */
  readonly cost: number
}

const NOTHING: Redone = new Map()

export function effectOf(m: Machine, job: Job, action: Action): Effect {
  const { complaint, replace, fix } = m.model
  const idle: Effect = {
    reads: [],
    redoes: NOTHING,
    redoesAfter: NOTHING,
    out: job.fitted,
    tries: 0,
    works: [],
    minutes: 0,
    waits: 0,
    cost: 0,
  }
  switch (action.do) {
    case "test":
      return testEffect(m, job, idle, action.test)
    case "read":
      return { ...idle, reads: [action.reading] }
    case "putBack": {
      const { part } = action
      const { redoes, tries = 1, minutes, waits = 0, cost } = m.tests[job.fitted.get(part)!]!
      return { ...idle, redoes, tries, minutes, waits, cost, out: without(job.fitted, part), works: [part] }
    }
    case "keep":
      return { ...idle, curesPart: action.part, cost: m.places[action.part]!.price ?? 0 }
    case "replace": {
      const { part } = action
      const work = paid(m, replace[part]!, m.places[part]!.price)
      return {
        ...idle,
        ...work,
        redoes: m.reach[part]!,
        curesPart: part,
        tries: complaint.tries,
        works: [part],
      }
    }
    case "fix": {
      const { place } = m.faults[action.fault]!
      const work = paid(m, fix[action.fault]!)
      const redoes = m.reach[place]!
      return { ...idle, ...work, redoes, cures: action.fault, tries: complaint.tries, works: [place] }
    }
    case "look":
      return { ...idle, tries: complaint.tries }
    case "close": {
      const { minutes } = runOf(m, countingProofs(m, job))
      return { ...idle, minutes, cost: (minutes * m.bench) / 60 }
    }
    default:
      return idle
  }
}

function testEffect(m: Machine, job: Job, idle: Effect, test: TestIndex): Effect {
  const { kind, reads, parts, redoes, tries = 1, minutes, waits = 0, cost } = m.tests[test]!
  const work = { ...idle, minutes, waits, cost }
  switch (kind) {
    case "swaps":
      return {
        ...work,
        redoes,
        tries,
        works: parts,
        out: { has: (p) => job.fitted.has(p) || parts.includes(p) },
      }
    case "removes": {
      const gone = (p: PlaceIndex) => parts.includes(p) || parts.includes(m.places[p]!.of as PlaceIndex)
      const out = { has: (p: PlaceIndex) => job.fitted.has(p) || gone(p) }
      return { ...work, redoesAfter: redoes, tries, works: parts, out }
    }
    case "redoes":
      return { ...work, redoes, tries }
    default:
      return { ...work, reads }
  }
}

function paid(m: Machine, work: { minutes: number; cost: number; waits: number }, price = 0) {
  const { minutes, waits } = work
  return { minutes, waits, cost: price + work.cost + (waits * m.waiting) / 60 }
}

function without<K, V>(map: ReadonlyMap<K, V>, key: K): Map<K, V> {
  const rest = new Map(map)
  rest.delete(key)
  return rest
}

/** Proofs that count in this job, in order. */
export function countingProofs(m: Machine, job: Job): ProofIndex[] {
  return m.proofs.flatMap(({ places }, p) =>
    !places?.length || places.some((place) => job.touched.has(place)) ? [p] : [],
  )
}

/** The chance that redoing these setups cures a fault, each that could having its own try. */
export function cureChance(m: Machine, redoes: Redone, fault: FaultIndex): number {
  if (redoes.size === 0) return 0
  const { place } = m.faults[fault]!
  let fails = 1
  for (const [setup, chance] of redoes)
    fails *= 1 - (setup === place ? chance : (m.eased[fault]!.get(setup) ?? 0))
  return 1 - fails
}

/** How a test that is done counts as fresh: a swap by the parts that were fitted before it. */
export function freshKey(m: Machine, job: Job, test: TestIndex): string {
  const fitted = m.tests[test]!.kind === "swaps" ? [...job.fitted.keys()].sort((a, b) => a - b) : []
  return [test, ...fitted].join()
}

/** How a repair is kept in `Job.repairs`; undefined for what is none. */
export function repairKey(action: Action): string | undefined {
  if (action.do === "fix") return `fix ${action.fault}`
  return action.do === "keep" || action.do === "replace" ? `${action.do} ${action.part}` : undefined
}

/** The job after an action and what was found; what is thought of the machine is not looked at. */
export function jobAfter(m: Machine, job: Job, action: Action, effect: Effect, found: Found): Job {
  const { redoes, redoesAfter, works } = effect
  const redone = [...redoes.keys(), ...redoesAfter.keys()]
  const repair = repairKey(action)
  const next = {
    ...job,
    time: job.time + 1,
    touched: new Set([...job.touched, ...works, ...redone]),
    redone: new Set([...job.redone, ...redone]),
    repairs: repair === undefined ? job.repairs : new Set([...job.repairs, repair]),
    fresh: repair === undefined ? job.fresh : new Set<string>(),
    ...fittedAfter(m, job, action, found),
    ...lookAfter(m, action, effect, found),
  }
  if (action.do === "test") {
    next.done = new Set([...job.done, action.test])
    next.fresh = new Set([...next.fresh, freshKey(m, job, action.test)])
  }
  if (typeof found !== "string")
    return { ...next, ...findingsAfter(m, next, job, effect.reads, found, action) }
  if (found === "holds") return { ...next, ended: "closed" }
  return action.do === "handOver" ? { ...next, ended: "handed over" } : next
}

function fittedAfter(m: Machine, job: Job, action: Action, found: Found): Partial<Job> {
  if (action.do === "takeOut" || action.do === "putBack" || action.do === "keep") {
    const leftIn = new Set(job.leftIn)
    leftIn.delete(action.part)
    return { fitted: without(job.fitted, action.part), leftIn }
  }
  if (action.do !== "test" || m.tests[action.test]!.kind !== "swaps") return {}
  if (found === "stays" && !action.leaveIn) return {}
  const { parts } = m.tests[action.test]!
  const fitted = new Map([...job.fitted, ...parts.map((part) => [part, action.test] as const)])
  return { fitted, ...(found === "stays" ? { leftIn: new Set([...job.leftIn, ...parts]) } : {}) }
}

/** What the last look showed, and what has changed since. */
function lookAfter(m: Machine, action: Action, { tries }: Effect, found: Found): Partial<Job> {
  if (action.do === "close") return found === "fails" ? { gone: false } : {}
  if (action.do === "look") return { gone: found === "gone", changed: false, mayLook: false }
  if (action.do === "takeOut") return { changed: true, mayLook: true }
  if (tries === 0) return {}
  // The parts that were removed go in again after the look.
  const changed = action.do === "test" && m.tests[action.test]!.kind === "removes"
  return { gone: found === "gone", changed, mayLook: true }
}

/** Readings taken; a test that reads nothing but what has been taken by now has been done, in effect. */
function findingsAfter(
  m: Machine,
  next: Job,
  { time, fitted }: Job,
  reads: readonly ReadingIndex[],
  cells: readonly CellIndex[],
  action: Action,
): Partial<Job> {
  const taken = next.taken.slice()
  reads.forEach((reading, i) => {
    taken[reading] = [...taken[reading]!, { time, cell: cells[i]!, fitted }]
  })
  if (action.do !== "read") return { taken }
  const done = new Set(next.done)
  const fresh = new Set(next.fresh)
  m.tests.forEach((each, test) => {
    if (!each.reads.includes(action.reading) || !each.reads.every((r) => taken[r]!.length > 0)) return
    done.add(test)
    fresh.add(`${test}`)
  })
  return { taken, done, fresh }
}
