import { activeNow, isActive, isListed, isUnlisted, uncured } from "./belief.ts"
import { type Course, present } from "./course.ts"
import type { PlaceIndex } from "./indexes.ts"
import type { Machine } from "./machine.ts"
import type { Hypothesis, MachineStatus, Pair, Suspect, Suspicion } from "./session-types.ts"

/** All faults and something not listed, likeliest first. */
export function suspectsOf(m: Machine, { belief, out }: Course): Suspect[] {
  const here = present(m, belief)
  const active = m.faults.map(() => 0)
  let unlisted = 0
  for (const h of belief.hypotheses) {
    if (isUnlisted(h)) unlisted += h.weight
    const now = activeNow(m, h, belief.job)
    if (now & 1) active[h.a]! += h.weight
    if (now & 2) active[h.b]! += h.weight
  }
  const listed = m.faults.map(
    (info, fault): Suspect => ({
      fault,
      info,
      present: here[fault]!,
      active: active[fault]!,
      out: out.get(fault),
    }),
  )
  const other: Suspect = {
    fault: undefined,
    info: undefined,
    present: unlisted,
    active: unlisted,
    out: undefined,
  }
  return [...listed, other].sort((a, b) => b.present - a.present)
}

/** Everything that can be wrong, by what of it is cured, whenever that was; likeliest first. */
export function hypothesesOf({ belief }: Course): Hypothesis[] {
  return summed(
    belief.hypotheses.map((h) => {
      const faults = [h.a, h.b].filter(isListed)
      const left = uncured(h)
      return { faults, cured: faults.filter((fault) => !left.includes(fault)), chance: h.weight }
    }),
  )
}

export function pairsOf(hypotheses: readonly Hypothesis[]): Pair[] {
  const pairs = hypotheses.filter(({ faults }) => faults.length > 1)
  return summed(pairs.map(({ faults, chance }) => ({ faults: faults as Pair["faults"], chance })))
}

/** Chances of those that are alike in all else, added up; likeliest first. */
function summed<T extends { readonly chance: number }>(all: readonly T[]): T[] {
  const sums = new Map<string, T>()
  for (const each of all) {
    const key = JSON.stringify({ ...each, chance: 0 })
    const known = sums.get(key)
    sums.set(key, known ? { ...known, chance: known.chance + each.chance } : each)
  }
  return [...sums.values()].sort((x, y) => y.chance - x.chance)
}

/** From this chance on two faults, or something not listed, are worth a word, if they were half as likely at intake. */
const LIKELY = 0.3
/** A step speaks for it where it makes it so many times as likely, in odds. */
const SPEAKS = 1.5

/** That two faults, or something not listed, have become likely, and by which steps. */
export function suspicionsOf({ marks }: Course): Suspicion[] {
  const kinds = [
    ["two faults", "two"],
    ["not listed", "unlisted"],
  ] as const
  return kinds.flatMap(([of, mark]) => {
    const chances = marks.map((each) => each[mark])
    const chance = chances.at(-1)!
    if (chance < LIKELY || chance < 2 * chances[0]!) return []
    const odds = chances.map((p) => Math.max(p, 1e-12) / Math.max(1 - p, 1e-12))
    const factor = (step: number) => odds[step + 1]! / odds[step]!
    const steps = [...marks.keys()]
      .filter((step) => factor(step) > SPEAKS)
      .sort((a, b) => factor(b) - factor(a))
    return [{ of, chance, steps }]
  })
}

export function statusOf(m: Machine, { belief }: Course): MachineStatus {
  const { job, hypotheses } = belief
  const placed = (places: Iterable<PlaceIndex>) => [...places].map((place) => m.places[place]!)
  return {
    fitted: placed(job.fitted.keys()),
    redone: placed(job.redone),
    gone: job.gone,
    changed: job.changed,
    whole: hypotheses.reduce((sum, h) => sum + (isActive(m, h, job) ? 0 : h.weight), 0),
  }
}
