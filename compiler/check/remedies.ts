import type { Model } from "../model/model.ts"
import type { Belief, Remedy } from "../plan/plan.ts"
import { backticked } from "../wording/sentence.ts"

/** A fault with its flag, and the chance of it: what semantics.md calls a hypothesis. */
export interface Hypothesis {
  readonly fault: number
  readonly cured: boolean
  readonly chance: number
}

/** The hypotheses of a belief with some chance, the likeliest first; chances sum to 1. */
export function hypotheses(belief: Belief): Hypothesis[] {
  const all: Hypothesis[] = []
  for (const [fault, chance] of belief.uncured.entries())
    if (chance > 0) all.push({ fault, cured: false, chance })
  for (const [fault, chance] of belief.cured.entries())
    if (chance > 0) all.push({ fault, cured: true, chance })
  const sum = all.reduce((total, each) => total + each.chance, 0)
  return all
    .map((each) => ({ ...each, chance: each.chance / sum }))
    .sort((a, b) => b.chance - a.chance || a.fault - b.fault)
}

/** The one remedy that mends it: the same text for the same remedy. */
export function remedyOf(model: Model, { fault, cured }: { fault: number; cured: boolean }): string {
  const place = model.places[model.faults[fault]!.place]!
  if (place.kind === "part") return `replace ${backticked(place.name)}`
  return cured ? "nothing more to do" : `redo ${backticked(place.name)}`
}

/** What each remedy has of the chance, by its text. */
export function byRemedy(model: Model, left: readonly Hypothesis[]): ReadonlyMap<string, number> {
  const chances = new Map<string, number>()
  for (const each of left) {
    const remedy = remedyOf(model, each)
    chances.set(remedy, (chances.get(remedy) ?? 0) + each.chance)
  }
  return chances
}

export function mends(
  model: Model,
  remedy: Remedy,
  { fault, cured }: { fault: number; cured: boolean },
): boolean {
  if (remedy.kind === "done") return cured
  return !cured && remedy.place === model.faults[fault]!.place
}

export function remedyText(model: Model, remedy: Remedy): string {
  if (remedy.kind === "done") return "nothing more to do"
  return `${remedy.kind} ${backticked(model.places[remedy.place!]!.name)}`
}

/** What one look for the complaint would say of a hypothesis: the chance of `gone` after this work. */
export function chanceOfGone(
  model: Model,
  hypothesis: { fault: number; cured: boolean },
  redone: ReadonlyMap<number, number>,
  fitted: ReadonlySet<number>,
  tries: number,
): number {
  const { place, recurs } = model.faults[hypothesis.fault]!
  if (hypothesis.cured || fitted.has(place)) return 1
  const cures = redone.get(place) ?? 0
  return cures + (1 - cures) * (1 - recurs) ** tries
}

/** What a reading would say of a hypothesis: its distribution over the cells. */
export function distribution(
  model: Model,
  { fault, cured }: { fault: number; cured: boolean },
  reading: number,
  fitted: ReadonlySet<number>,
): Float64Array {
  const { chances, place } = model.faults[fault]!
  const { healthy, told } = model.readings[reading]!
  const active = !cured && !fitted.has(place)
  return (active || told ? chances[reading] : undefined) ?? healthy
}

/** Chances are sums of products of percentages: what differs by less is equal. */
const EQUAL = 1e-9

export function differ(a: number, b: number): boolean {
  return Math.abs(a - b) > EQUAL
}

export function distributionsDiffer(a: Float64Array, b: Float64Array): boolean {
  return a !== b && a.some((chance, cell) => differ(chance, b[cell]!))
}
