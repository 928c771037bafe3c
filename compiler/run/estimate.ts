import { type Action, countingProofs, effectOf, repairKey } from "./action.ts"
import { actionKey } from "./acts.ts"
import { ROUNDING } from "./available.ts"
import { type Belief, type Hypothesis, isActive, isUnlisted, type Job } from "./belief.ts"
import type { FaultIndex, PlaceIndex, ProofIndex, Table } from "./indexes.ts"
import { proofChance } from "./likelihood.ts"
import type { Machine } from "./machine.ts"

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
  return { cost: handover, parts: 0, minutes: 0, handedOver: 1 }
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
}

/** By fault; without what the technician can't do. They are worked out once for an advice. */
export function pricedRepairs(
  m: Machine,
  { job }: Belief,
  unable: ReadonlySet<string>,
): Table<FaultIndex, FaultRepairs> {
  const known = new Map<string, PricedRepair>()
  const priced = (action: Action): PricedRepair[] => {
    if (unable.has(actionKey(action))) return []
    const key = repairKey(action)!
    const made = known.get(key) ?? { key, work: repairOf(m, job, action) }
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
  const { cost, minutes, tries, works, redoes } = effectOf(m, job, action)
  const look = tries > 0 ? m.model.complaint.minutes : 0
  const parts = action.do === "fix" || !("part" in action) ? 0 : (m.places[action.part]!.price ?? 0)
  const proofs = m.proofs.flatMap(({ places }, p) =>
    places?.some((place) => works.includes(place) || redoes.has(place)) ? [p] : [],
  )
  return { cost: cost + (look * m.bench) / 60, parts, minutes: minutes + look, handedOver: 0, proofs }
}

/** By fault, its cheapest repair that is still open. */
function openRepairs(m: Machine, job: Job, repairs: readonly FaultRepairs[]): (Repair | undefined)[] {
  return m.faults.map(({ place }, fault) => {
    const { fitted, others } = repairs[fault]!
    return (job.fitted.has(place) ? fitted : others).find(({ key }) => !job.repairs.has(key))?.work
  })
}

/** The repairs that a hypothesis needs; undefined where none helps. */
function needs(h: Hypothesis, repairs: readonly (Repair | undefined)[]): Repair[] | undefined {
  if (isUnlisted(h)) return undefined
  const needed: Repair[] = []
  for (const [fault, cured] of [
    [h.a, h.curedA],
    [h.b, h.curedB],
  ] as const) {
    if (fault < 0 || cured < Number.POSITIVE_INFINITY) continue
    const repair = repairs[fault]
    if (!repair) return undefined
    needed.push(repair)
  }
  return needed
}

/** What a hypothesis takes to be done with. */
interface Share {
  readonly weight: number
  /** Repairs that make the machine whole; undefined where none does. */
  readonly needed: readonly Repair[] | undefined
  /** Chance that the proof run holds as the machine stands. */
  readonly holds: number
  /** Chance that it holds once the machine is whole. */
  readonly mended: number
}

/**
 * The repairs in their order, the likeliest for its price first, and the shares by the number of them that is enough. What
 * none is enough for is left out.
 */
function ranked(shares: readonly Share[]): { order: readonly Repair[]; enough: readonly Share[][] } {
  const mass = new Map<Repair, number>()
  for (const { weight, needed, holds } of shares)
    for (const repair of needed ?? []) mass.set(repair, (mass.get(repair) ?? 0) + weight * holds)
  const order = [...mass.keys()].sort((x, y) => mass.get(y)! * x.cost - mass.get(x)! * y.cost)
  const enough: Share[][] = [[], ...order.map(() => [])]
  for (const share of shares)
    if (share.needed) enough[Math.max(0, ...share.needed.map((each) => order.indexOf(each) + 1))]!.push(share)
  return { order, enough }
}

/** One repair after the other until the complaint is gone, or the rest is handed over. */
function repairing(m: Machine, belief: Belief, repairs: readonly (Repair | undefined)[]): Estimate {
  const counting = countingProofs(m, belief.job)
  const { order, enough } = ranked(
    belief.hypotheses.map((h) => {
      const needed = needs(h, repairs)
      return { weight: h.weight, needed, holds: 1, mended: mendedChance(m, belief.job, h, counting, needed) }
    }),
  )
  // A repair that is put off must not seem cheaper than it is: with it come the proofs that count for its sake.
  let proofs = counting
  let left = 1
  let sofar = NONE
  let best = givenUp(m)
  enough.forEach((shares, k) => {
    const repair = order[k - 1]
    if (repair) {
      sofar = plus(sofar, repair, left)
      proofs = [...new Set([...proofs, ...repair.proofs])]
    }
    const work = closingWork(m, proofs)
    for (const { weight, mended } of shares) {
      sofar = plus(sofar, cheaper(givenUp(m), plus(work, givenUp(m), 1 - mended)), weight)
      left -= weight
    }
    best = cheaper(best, plus(sofar, givenUp(m), Math.max(0, left)))
  })
  return best
}

/** The chance that the proof run holds once these repairs have made the machine whole. */
function mendedChance(
  m: Machine,
  job: Job,
  h: Hypothesis,
  counting: readonly ProofIndex[],
  repairs: readonly Repair[] = [],
): number {
  const proofs = new Set([...counting, ...repairs.flatMap(({ proofs }) => proofs)])
  const last = job.time - 1
  const whole = { ...h, curedA: Math.min(h.curedA, last), curedB: Math.min(h.curedB, last) }
  return proofChance(m, job, whole, [...proofs])
}

function closingWork(m: Machine, proofs: readonly ProofIndex[]): Estimate {
  const minutes = proofs.reduce((sum, p) => sum + m.proofs[p]!.times * m.proofs[p]!.minutes, 0)
  return { ...NONE, cost: (minutes * m.bench) / 60, minutes }
}

/**
 * The complaint is gone: known-good parts are settled, what is likely still there is repaired until it is sure enough, then the
 * machine is proved, and what shows up then is repaired. Where no repair makes it sure enough, or the run can't hold even
 * of a whole machine, it is handed over.
 */
function closing(m: Machine, belief: Belief, repairs: readonly (Repair | undefined)[]): Estimate {
  const { job, hypotheses } = belief
  const proofs = countingProofs(m, job)
  const work = closingWork(m, proofs)
  const shares = hypotheses.map((h): Share => {
    const needed = isActive(m, h, job) ? needs(h, repairs) : []
    const holds = proofChance(m, job, h, proofs)
    return { weight: h.weight, needed, holds, mended: mendedChance(m, job, h, proofs, needed) }
  })
  const failing = ({ needed, mended }: Share): Estimate =>
    cheaper(
      givenUp(m),
      needed ? needed.reduce((sum, each) => plus(sum, each), plus(work, givenUp(m), 1 - mended)) : givenUp(m),
    )
  let sofar = work
  for (const part of job.fitted.keys()) sofar = plus(sofar, settled(m, belief, part))
  let whole = 0
  let hidden = 0
  for (const share of shares) {
    hidden += share.weight * share.holds
    sofar = plus(sofar, failing(share), share.weight * (1 - share.holds))
  }
  let best = givenUp(m)
  const { order, enough } = ranked(shares)
  enough.forEach((mended, k) => {
    sofar = plus(sofar, order[k - 1] ?? NONE)
    for (const share of mended) {
      whole += share.weight * share.mended
      hidden -= share.weight * share.holds
      sofar = plus(sofar, failing(share), -share.weight * (1 - share.holds))
      sofar = plus(sofar, givenUp(m), share.weight * (1 - share.mended))
    }
    if (whole > 0 && whole >= (whole + hidden) * m.trust - ROUNDING)
      best = cheaper(best, plus(sofar, { ...NONE, cost: m.comeback * hidden }))
  })
  return best
}

/** A known-good part that is in: bought, or put back and a new one bought only if the complaint is there again. */
function settled(m: Machine, { job, hypotheses }: Belief, part: PlaceIndex): Estimate {
  const price = m.places[part]!.price ?? 0
  const back = effectOf(m, job, { do: "putBack", part })
  const bought = effectOf(m, job, { do: "replace", part })
  let bad = 0
  for (const { a, b, curedA, curedB, weight } of hypotheses) {
    const inPart = (fault: number, cured: number) =>
      fault >= 0 && cured === Number.POSITIVE_INFINITY && m.faults[fault]!.place === part
    if (inPart(a, curedA) || inPart(b, curedB)) bad += weight
  }
  return cheaper(
    { cost: price, parts: price, minutes: 0, handedOver: 0 },
    {
      cost: back.cost + bad * bought.cost,
      parts: bad * price,
      minutes: back.minutes + bad * bought.minutes,
      handedOver: 0,
    },
  )
}
