import type { Model, Test } from "../model/model.ts"
import { cureChance, redoCures, redoneOnTheWay } from "../model/repairs.ts"
import type { Action, Belief, Hypothesis, PlanNode } from "../plan/plan.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { backticked } from "../wording/sentence.ts"
import { isRemoved } from "./proofs/doable-tests.ts"

/** A fault that was in the machine, as far as it is believed: whether it is cured by now, and its share. */
export interface Cause {
  readonly fault: FaultIndex
  readonly cured: boolean
  readonly chance: number
}

/** By fault, the likeliest first: how likely it was there; cured if it mostly is by now. Pairs count for both. */
export function causesIn(belief: Belief): Cause[] {
  const shares = new Map<FaultIndex, { cured: number; uncured: number }>()
  for (const { faults, cured, chance } of belief.hypotheses) {
    for (const fault of faults) {
      const share = shares.get(fault) ?? { cured: 0, uncured: 0 }
      if (cured.includes(fault)) share.cured += chance
      else share.uncured += chance
      shares.set(fault, share)
    }
  }
  return [...shares]
    .map(([fault, { cured, uncured }]) => ({ fault, cured: cured > uncured, chance: cured + uncured }))
    .filter(({ chance }) => chance > 0)
    .sort((a, b) => b.chance - a.chance || a.fault - b.fault)
}

/** What has to be done about a cause: the same text for the same remedy. */
export function remedyOf(model: Model, { fault, cured }: Pick<Cause, "fault" | "cured">): string {
  if (cured) return "nothing more to do"
  const { name, kind } = at(model.places, at(model.faults, fault).place)
  return `${kind === "part" ? "replace" : "redo"} ${backticked(name)}`
}

/** What each remedy has of the chance, by its text; a pair of faults needs both of its remedies. */
export function byRemedy(model: Model, belief: Belief): ReadonlyMap<string, number> {
  const chances = new Map<string, number>()
  for (const { faults, cured, chance } of belief.hypotheses) {
    if (faults.length === 0) continue
    const left = faults.filter((fault) => !cured.includes(fault))
    const remedies =
      left.length === 0
        ? ["nothing more to do"]
        : new Set(left.map((fault) => remedyOf(model, { fault, cured: false })))
    for (const remedy of remedies) chances.set(remedy, (chances.get(remedy) ?? 0) + chance)
  }
  return chances
}

/** The chance that an action cures a fault that is not cured yet. */
export function actionCures(model: Model, action: Action | PlanNode, fault: FaultIndex): number {
  const { place } = at(model.faults, fault)
  switch (action.do) {
    case "test":
      return cureChance(model, at(model.tests, action.test), fault)
    case "putBack": {
      const swaps = model.tests.filter(({ kind, parts }) => kind === "swaps" && parts.includes(action.part))
      return Math.max(0, ...swaps.map((test) => cureChance(model, test, fault)))
    }
    case "keep":
      return place === action.part ? 1 : 0
    case "replace":
      return place === action.part ? 1 : reachCures(model, action.part, fault)
    case "fix":
      return fault === action.fault ? 1 : reachCures(model, at(model.faults, action.fault).place, fault)
    default:
      return 0
  }
}

/** The chance that what is redone on the way to a place cures a fault. */
function reachCures(model: Model, place: PlaceIndex, fault: FaultIndex): number {
  return redoCures(at(model.faults, fault), redoneOnTheWay(model, at(model.places, place).reach))
}

/** The chance that nothing of a hypothesis is left after an action. */
export function chanceOfCure(model: Model, { faults, cured }: Hypothesis, action: Action): number {
  if (faults.length === 0) return 0
  return faults
    .filter((fault) => !cured.includes(fault))
    .reduce((chance, fault) => chance * actionCures(model, action, fault), 1)
}

/** The chance of `gone` after a test on a machine with this one fault, the parts given being good ones. */
export function chanceOfGone(
  model: Model,
  { fault, cured }: Pick<Cause, "fault" | "cured">,
  test: Test,
  fitted: ReadonlySet<PlaceIndex>,
): number {
  const { place, recurs } = at(model.faults, fault)
  if (cured || fitted.has(place)) return 1
  const hidden = (1 - recurs) ** test.tries
  // Removed parts go in again after the look, and only then is redone what was undone on the way.
  if (test.kind === "removes") return isRemoved(model, test, place) ? 1 : hidden
  const cures = cureChance(model, test, fault)
  return cures + (1 - cures) * hidden
}

/** What a reading would say of a machine with this one fault: its distribution over the cells. */
export function distribution(
  model: Model,
  { fault, cured }: Pick<Cause, "fault" | "cured">,
  reading: ReadingIndex,
  fitted: ReadonlySet<PlaceIndex>,
): Float64Array {
  const { chances, place } = at(model.faults, fault)
  const { healthy, told } = at(model.readings, reading)
  const active = !cured && !fitted.has(place)
  return (active || told ? chances[reading] : undefined) ?? healthy
}
