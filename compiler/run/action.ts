import type { Job, TakenReading } from "./belief.ts"
import type { CellIndex, FaultIndex, PlaceIndex, ProofIndex, ReadingIndex, TestIndex } from "./indexes.ts"
import { runOf } from "./likelihood.ts"
import type { Machine, Redone } from "./machine.ts"
import type { Found } from "./session-types.ts"
import { type Doing, placeOf, testOf, workOf } from "./work.ts"

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
  readonly curesPart?: PlaceIndex | undefined
  /** Fault that is cured. */
  readonly cures?: FaultIndex | undefined
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
  const { complaint } = m.model
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
      const fitting = testEffect(m, job, idle, job.fitted.get(part)!)
      return { ...fitting, out: without(job.fitted, part), works: [part] }
    }
    case "keep":
      return { ...idle, curesPart: action.part, cost: m.places[action.part]!.price ?? 0 }
    case "replace":
    case "fix": {
      const { part, fault }: Doing = action
      const place = placeOf(m, action)!
      const { minutes, waits, cost } = workOf(m.model, action)!
      return {
        ...idle,
        minutes,
        waits,
        cost: (m.places[part ?? -1]?.price ?? 0) + cost + (waits * m.waiting) / 60,
        redoes: m.reach[place]!,
        cures: fault,
        curesPart: part,
        tries: complaint.tries,
        works: [place],
      }
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
  const isOut = (place: PlaceIndex | undefined) => parts.includes(place as PlaceIndex)
  const removes = kind === "removes"
  return {
    ...idle,
    reads,
    [removes ? "redoesAfter" : "redoes"]: redoes,
    tries: reads.length > 0 ? 0 : tries,
    works: parts,
    out: { has: (p) => job.fitted.has(p) || isOut(p) || (removes && isOut(m.places[p]!.of)) },
    minutes,
    waits,
    cost,
  }
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

/** The same for equal actions, whatever stays in after a swap. */
export function actionKey(action: Action): string {
  const { leaveIn: _, ...rest } = { leaveIn: false, ...action }
  return Object.values(rest).join(" ")
}

/** How a repair is kept in `Job.repairs`; undefined for what is none. */
export function repairKey(action: Action): string | undefined {
  return /fix|keep|replace/.test(action.do) ? actionKey(action) : undefined
}

/** The job after an action and what was found; what is thought of the machine is not looked at. */
export function jobAfter(m: Machine, job: Job, action: Action, effect: Effect, found: Found): Job {
  const { redoes, redoesAfter, works } = effect
  const redone = [...redoes.keys(), ...redoesAfter.keys()]
  const repair = repairKey(action)
  const next: Job = {
    ...job,
    time: job.time + 1,
    touched: new Set([...job.touched, ...works, ...redone]),
    redone: new Set([...job.redone, ...redone]),
    ...(repair && { repairs: new Set([...job.repairs, repair]), fresh: new Set<string>() }),
    ...(action.do === "test" && {
      done: new Set([...job.done, action.test]),
      fresh: new Set([...job.fresh, freshKey(m, job, action.test)]),
    }),
    ended: found === "holds" ? "closed" : action.do === "handOver" ? "handed over" : undefined,
    ...fittedAfter(m, job, action, found),
    ...lookAfter(m, action, effect, found),
  }
  return typeof found === "string"
    ? next
    : { ...next, ...findingsAfter(m, next, job, effect.reads, found, action) }
}

function fittedAfter(m: Machine, job: Job, action: Action, found: Found): Partial<Job> {
  if (action.do === "takeOut" || action.do === "putBack" || action.do === "keep") {
    const leftIn = new Set(job.leftIn)
    leftIn.delete(action.part)
    return { fitted: without(job.fitted, action.part), leftIn }
  }
  const { test, leaveIn }: Doing = action
  const { kind, parts = [] } = testOf(m.tests, action) ?? {}
  if (kind !== "swaps" || (found === "stays" && !leaveIn)) return {}
  const fitted = new Map([...job.fitted, ...parts.map((part) => [part, test!] as const)])
  return { fitted, ...(found === "stays" ? { leftIn: new Set([...job.leftIn, ...parts]) } : {}) }
}

/** What the last look showed, and what has changed since. */
function lookAfter(m: Machine, action: Action, { tries }: Effect, found: Found): Partial<Job> {
  if (action.do === "close") return found === "fails" ? { gone: false } : {}
  if (action.do === "look") return { gone: found === "gone", changed: false, mayLook: false }
  if (action.do === "takeOut") return { changed: true, mayLook: true }
  if (tries === 0) return {}
  // The parts that were removed go in again after the look.
  const changed = testOf(m.tests, action)?.kind === "removes"
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
