import { type Action, countingProofs, effectOf, repairKey } from "./action.ts"
import { actionKey } from "./acts.ts"
import { ROUNDING } from "./available.ts"
import { activeNow, type Belief, type Hypothesis, isActive, isUnlisted, type Job } from "./belief.ts"
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

/** One repair after the other until the complaint is gone, or the rest is handed over. */
function repairing(m: Machine, belief: Belief, repairs: readonly (Repair | undefined)[]): Estimate {
  const mass = new Map<Repair, number>()
  const wanted = belief.hypotheses.map((h) => ({ h, needed: needs(h, repairs) }))
  for (const { h, needed } of wanted)
    for (const repair of needed ?? []) mass.set(repair, (mass.get(repair) ?? 0) + h.weight)
  const order = [...mass.keys()].sort((x, y) => mass.get(y)! * x.cost - mass.get(x)! * y.cost)
  const rank = new Map(order.map((repair, k) => [repair, k]))
  // By number of repairs made, the weight that they are enough for.
  const enough = new Float64Array(order.length + 1)
  for (const { h, needed } of wanted)
    if (needed) enough[needed.reduce((most, each) => Math.max(most, rank.get(each)! + 1), 0)]! += h.weight
  // A repair that is put off must not seem cheaper than it is: with it come the proofs that count for its sake.
  const proofs = countingProofs(m, belief.job)
  let left = 1 - enough[0]!
  let sofar = plus(NONE, closingWork(m, proofs), enough[0])
  let best = plus(sofar, givenUp(m), left)
  order.forEach((repair, k) => {
    sofar = plus(sofar, repair, left)
    proofs.push(...repair.proofs.filter((p) => !proofs.includes(p)))
    sofar = plus(sofar, closingWork(m, proofs), enough[k + 1])
    left -= enough[k + 1]!
    best = cheaper(best, plus(sofar, givenUp(m), Math.max(0, left)))
  })
  return best
}

function closingWork(m: Machine, proofs: readonly ProofIndex[]): Estimate {
  const minutes = proofs.reduce((sum, p) => sum + m.proofs[p]!.times * m.proofs[p]!.minutes, 0)
  return { ...NONE, cost: (minutes * m.bench) / 60, minutes }
}

/**
 * The complaint is gone: known-good parts are settled, what is likely still there is repaired until it is sure enough, then the
 * machine is proved, and what shows up then is repaired.
 */
function closing(m: Machine, belief: Belief, repairs: readonly (Repair | undefined)[]): Estimate {
  const { job, hypotheses } = belief
  const proofs = countingProofs(m, job)
  let sofar = closingWork(m, proofs)
  for (const part of job.fitted.keys()) sofar = plus(sofar, settled(m, belief, part))
  let whole = 0
  let hidden = 0
  /** By repair, the hidden weight that it takes away. */
  const helps = new Map<Repair, number>()
  for (const h of hypotheses) {
    if (!isActive(m, h, job)) {
      whole += h.weight
      continue
    }
    const holds = h.weight * proofChance(m, job, h, proofs)
    hidden += holds
    const needed = activeNow(m, h, job) === 0 ? undefined : needs(h, repairs)
    for (const each of needed ?? []) helps.set(each, (helps.get(each) ?? 0) + holds / needed!.length)
    const repaired = needed?.reduce((sum, each) => plus(sum, each), NONE)
    sofar = plus(sofar, repaired ? cheaper(givenUp(m), repaired) : givenUp(m), h.weight - holds)
  }
  const isSure = () => whole >= (whole + hidden) * m.trust - ROUNDING
  for (const [repair, weight] of [...helps].sort(([x, a], [y, b]) => b * x.cost - a * y.cost)) {
    if (isSure()) break
    sofar = plus(sofar, repair)
    whole += weight
    hidden -= weight
  }
  return isSure() ? cheaper(givenUp(m), plus(sofar, { ...NONE, cost: m.comeback * hidden })) : givenUp(m)
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
