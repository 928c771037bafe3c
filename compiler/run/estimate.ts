import { type Action, actionKey, countingProofs, effectOf } from "./action.ts"
import { ROUNDING } from "./available.ts"
import { type Belief, type Hypothesis, isActive, isUnlisted, type Job, truthOf, uncured } from "./belief.ts"
import type { GraphCondition } from "./graph.ts"
import type { FaultIndex, PlaceIndex, ProofIndex, Table } from "./indexes.ts"
import { holdChance, type Run, runOf } from "./likelihood.ts"
import type { Machine } from "./machine.ts"
import { placeOf, workOf } from "./work.ts"

/** What is expected from here to the end of the job. */
export interface Estimate {
  /** Money. */
  readonly cost: number
  /** Money for parts, contained in `cost`. */
  readonly parts: number
  readonly minutes: number
  /** Chance that the machine is handed over. */
  readonly handedOver: number
}

/** What one repair takes, its look included. */
interface Repair extends Estimate {
  /** Proofs that count for its sake. */
  readonly proofs: readonly ProofIndex[]
}

export const NONE: Estimate = { cost: 0, parts: 0, minutes: 0, handedOver: 0 }

export function plus(a: Estimate, b: Estimate, share = 1): Estimate {
  return {
    cost: a.cost + share * b.cost,
    parts: a.parts + share * b.parts,
    minutes: a.minutes + share * b.minutes,
    handedOver: a.handedOver + share * b.handedOver,
  }
}

/** Handing over now. */
export function givenUp({ handover }: Machine): Estimate {
  return { ...NONE, cost: handover, handedOver: 1 }
}

/**
 * What a job costs that only repairs, the likeliest for its price first (J. Kalagnanam and M. Henrion 1988), and closes or
 * hands over where that is cheaper: an estimate for the steps that are not looked into.
 */
export function estimateFrom(m: Machine, belief: Belief, priced: readonly FaultRepairs[]): Estimate {
  const repairs = openRepairs(m, belief.job, priced)
  const gone = belief.job.gone === true && !belief.job.changed
  return cheaper(givenUp(m), gone ? closing(m, belief, repairs) : repairing(m, belief, repairs))
}

export function cheaper(a: Estimate, b: Estimate): Estimate {
  return b.cost < a.cost ? b : a
}

/** What one fault can be repaired by, the cheapest first, once in a job each. */
export interface FaultRepairs {
  /** While a known-good part is in its place. */
  readonly fitted: readonly PricedRepair[]
  readonly others: readonly PricedRepair[]
}

interface PricedRepair {
  readonly key: string
  readonly work: Repair
  readonly onlyIf: GraphCondition | undefined
}

/** By fault; without what the technician can't do. They are worked out once for an advice. */
export function pricedRepairs(
  m: Machine,
  { job }: Belief,
  unable: ReadonlySet<string>,
): Table<FaultIndex, FaultRepairs> {
  const known = new Map<string, PricedRepair>()
  const priced = (action: Action): PricedRepair[] => {
    const key = actionKey(action)
    if (unable.has(key)) return []
    const made = known.get(key) ?? {
      key,
      work: repairOf(m, job, action),
      onlyIf: workOf(m.model, action)?.onlyIf,
    }
    known.set(key, made)
    return [made]
  }
  return m.faults.map(({ place }, fault) => {
    const others = m.model.fix[fault] ? priced({ do: "fix", fault }) : []
    if (m.places[place]!.kind !== "part") return { fitted: [], others }
    others.push(...priced({ do: "replace", part: place }))
    others.sort((x, y) => x.work.cost - y.work.cost)
    return { fitted: priced({ do: "keep", part: place }), others }
  })
}

function repairOf(m: Machine, job: Job, action: Action): Repair {
  const { tries, works, redoes } = effectOf(m, job, action)
  const proofs = m.proofs.flatMap(({ places }, p) =>
    places?.some((place) => works.includes(place) || redoes.has(place)) ? [p] : [],
  )
  return { ...costOf(m, job, action, Math.min(tries, 1)), proofs }
}

/** What an action takes, with so many tries of its look. */
export function costOf(m: Machine, job: Job, action: Action, tries = 0): Estimate {
  const { cost, minutes } = effectOf(m, job, action)
  const look = tries * m.model.complaint.minutes
  const bought = /keep|replace/.test(action.do) ? m.places[placeOf(m, action)!] : undefined
  return {
    ...NONE,
    cost: cost + (look * m.bench) / 60,
    parts: bought?.price ?? 0,
    minutes: minutes + look,
  }
}

/** By fault, its cheapest repair that is still open, or may yet be. */
function openRepairs(m: Machine, job: Job, repairs: readonly FaultRepairs[]): (Repair | undefined)[] {
  return m.faults.map(({ place }, fault) => {
    const { fitted, others } = repairs[fault]!
    return (job.fitted.has(place) ? fitted : others).find(
      ({ key, onlyIf }) => !job.repairs.has(key) && truthOf(job, onlyIf) !== false,
    )?.work
  })
}

/** The repairs that a hypothesis needs; undefined where none helps. */
function needs(h: Hypothesis, repairs: readonly (Repair | undefined)[]): Repair[] | undefined {
  const needed = uncured(h).map((fault) => repairs[fault])
  return isUnlisted(h) || needed.includes(undefined) ? undefined : (needed as Repair[])
}

/** What a hypothesis takes to be done with. */
interface Share {
  readonly h: Hypothesis
  /** Repairs that make the machine whole; undefined where none does. */
  readonly needed: readonly Repair[] | undefined
  /** Chance that the proof run holds before that. */
  readonly holds: number
}

/**
 * The repairs, the likeliest for its price first, and the shares by the number of them that is enough. What none is
 * enough for is left out.
 */
function ranked<S extends Share>(shares: readonly S[]): { order: readonly Repair[]; enough: readonly S[][] } {
  const mass = new Map<Repair, number>()
  for (const { h, needed, holds } of shares)
    for (const repair of needed ?? []) mass.set(repair, (mass.get(repair) ?? 0) + h.weight * holds)
  const order = [...mass.keys()].sort((x, y) => mass.get(y)! * x.cost - mass.get(x)! * y.cost)
  const enough: S[][] = [[], ...order.map(() => [])]
  for (const share of shares)
    if (share.needed) enough[Math.max(0, ...share.needed.map((each) => order.indexOf(each) + 1))]!.push(share)
  return { order, enough }
}

/** One repair after the other until the complaint is gone, or the rest is handed over. */
function repairing(
  m: Machine,
  { job, hypotheses }: Belief,
  repairs: readonly (Repair | undefined)[],
): Estimate {
  const { order, enough } = ranked(hypotheses.map((h) => ({ h, needed: needs(h, repairs), holds: 1 })))
  const proofs = new Set(countingProofs(m, job))
  let left = 1
  let sofar = NONE
  let best = givenUp(m)
  enough.forEach((shares, k) => {
    const repair = order[k - 1]
    if (repair) sofar = plus(sofar, repair, left)
    // A repair that is put off must not seem cheaper than it is: with it come the proofs that count for its sake.
    for (const proof of repair?.proofs ?? []) proofs.add(proof)
    const run = runOf(m, [...proofs])
    let mass = 0
    let fails = 0
    for (const { h } of shares) {
      mass += h.weight
      fails += h.weight * (1 - mendedChance(m, job, h, run))
    }
    if (mass > 0)
      sofar = plus(sofar, cheaper(givenUp(m), plus(proving(m, run), givenUp(m), fails / mass)), mass)
    left -= mass
    best = cheaper(best, plus(sofar, givenUp(m), Math.max(0, left)))
  })
  return best
}

/** The chance that the proof run holds once all is repaired. */
function mendedChance(m: Machine, job: Job, h: Hypothesis, run: Run): number {
  if (run.expects.size === 0) return 1
  const last = job.time - 1
  return holdChance(m, job, { ...h, curedA: Math.min(h.curedA, last), curedB: Math.min(h.curedB, last) }, run)
}

function proving(m: Machine, { minutes }: Run): Estimate {
  return { ...NONE, cost: (minutes * m.bench) / 60, minutes }
}

/**
 * The complaint is gone: known-good parts are settled, what is likely still there is repaired until it is sure enough, then the
 * machine is proved, and what shows up then is repaired. Where no repair makes it sure enough, or the run can't hold even
 * of a whole machine, it is handed over.
 */
function closing(m: Machine, belief: Belief, repairs: readonly (Repair | undefined)[]): Estimate {
  const { job, hypotheses } = belief
  const run = runOf(m, countingProofs(m, job))
  const work = proving(m, run)
  let sofar = work
  for (const part of job.fitted.keys()) sofar = plus(sofar, settled(m, belief, part))
  let whole = 0
  let hidden = 0
  const { order, enough } = ranked(
    hypotheses.map((h) => {
      const needed = isActive(m, h, job) ? needs(h, repairs) : []
      const holds = holdChance(m, job, h, run)
      const found = needed
        ? cheaper(
            givenUp(m),
            needed.reduce<Estimate>((sum, each) => plus(sum, each), work),
          )
        : givenUp(m)
      const missed = plus({ ...NONE, cost: m.comeback * holds }, found, 1 - holds)
      sofar = plus(sofar, missed, h.weight)
      hidden += h.weight * holds
      return { h, needed, holds, missed }
    }),
  )
  let best = givenUp(m)
  enough.forEach((shares, k) => {
    sofar = plus(sofar, order[k - 1] ?? NONE)
    for (const { h, holds, missed } of shares) {
      const mended = mendedChance(m, job, h, run)
      whole += h.weight * mended
      hidden -= h.weight * holds
      sofar = plus(plus(sofar, missed, -h.weight), givenUp(m), h.weight * (1 - mended))
    }
    if (whole > 0 && whole >= (whole + hidden) * m.trust - ROUNDING) best = cheaper(best, sofar)
  })
  return best
}

/** A known-good part that is in: bought, or put back and a new one bought only if the complaint is there again. */
function settled(m: Machine, { job, hypotheses }: Belief, part: PlaceIndex): Estimate {
  let bad = 0
  for (const h of hypotheses) if (uncured(h).some((fault) => m.faults[fault]!.place === part)) bad += h.weight
  const costs = (kind: "keep" | "putBack" | "replace") => costOf(m, job, { do: kind, part })
  return cheaper(costs("keep"), plus(costs("putBack"), costs("replace"), bad))
}
