import type { Condition, Gate, Model, Test } from "../../model/model.ts"
import { cureChance, fixWork } from "../../model/repairs.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex, Table, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Context } from "../context.ts"
import { readingsOf, restricted } from "../logic/formula.ts"

/** Why a test, or a repair, can never be done. */
export type Obstacle =
  | { readonly kind: "after"; readonly test: TestIndex }
  /** None of the tests of `after any of` can be done. */
  | { readonly kind: "afterAny"; readonly tests: readonly TestIndex[] }
  /** No findings that can occur meet its `only if`. */
  | { readonly kind: "condition"; readonly condition: Condition }
  /** Readings that its `only if` needs, which no test gets before it. */
  | { readonly kind: "unread"; readonly readings: readonly ReadingIndex[] }
  /** Of a fix: nothing says what it takes. */
  | { readonly kind: "no work" }

/** What can wait: a test, or a repair by what it is done to. */
type Gated = Gate & Pick<Test, "name" | "span">

export type Repair =
  | { readonly kind: "replace"; readonly part: PlaceIndex }
  | { readonly kind: "fix"; readonly fault: FaultIndex }

export interface Doable {
  /** By test: whether its clauses can be met, one after the other. */
  readonly tests: Table<TestIndex, boolean>
  /** By reading: whether a doable test reads it. */
  readonly readings: Table<ReadingIndex, boolean>
  /** By test that is not doable. */
  readonly obstacles: ReadonlyMap<TestIndex, Obstacle>
}

/**
 * Which tests can be done at all: a test can once those that it comes `after` can (of `after any of` one), and once some findings meet its
 * `only if` on readings that tests get which can be done before it. Clauses are looked at one by one, so a test counts
 * as doable even where meeting one clause is at odds with another; nothing is called impossible that is not.
 */
export function doableTests(context: Context): Doable {
  const { model } = context
  const tests = model.tests.map(() => false)
  const readings = model.readings.map(() => false)
  for (let changed = true; changed; ) {
    changed = false
    for (const [i, test] of model.tests.entries()) {
      if (tests[i] || !canBeMet(context, test, { tests, readings })) continue
      tests[i] = true
      for (const reading of test.reads) readings[reading] = true
      changed = true
    }
  }
  const obstacles = new Map<TestIndex, Obstacle>()
  for (const [i, test] of model.tests.entries())
    if (!tests[i]) obstacles.set(i, obstacleOf(context, test, { tests, readings }))
  return { tests, readings, obstacles }
}

/** Repairs whose clauses can never be met, or that are no repairs at all, by what they are done to. */
export function undoableRepairs(context: Context): { repair: Repair; gated: Gated; obstacle: Obstacle }[] {
  const { model } = context
  const doable = context.once(doableTests)
  const parts = model.places.map((place, part) => ({ repair: { kind: "replace", part } as const, ...place }))
  const faults = model.faults.map((each, fault) => ({ repair: { kind: "fix", fault } as const, ...each }))
  return [...parts, ...faults].flatMap(({ repair, gate, name, span }) => {
    if (gate === undefined) return []
    const gated = { ...gate, name, span }
    const works = repair.kind === "replace" || fixWork(model, repair.fault) !== undefined
    if (!works) return [{ repair, gated, obstacle: { kind: "no work" } }]
    return canBeMet(context, gated, doable)
      ? []
      : [{ repair, gated, obstacle: obstacleOf(context, gated, doable) }]
  })
}

/** What can be done by now, and is read by that. */
type SoFar = Pick<Doable, "tests" | "readings">

function canBeMet(context: Context, gated: Gated, { tests, readings }: SoFar): boolean {
  const { after, afterAny } = gated
  if (!after.every((before) => tests[before])) return false
  if (afterAny.length > 0 && !afterAny.some((before) => tests[before])) return false
  return canHold(context, gated, (reading) => at(readings, reading))
}

function canHold(context: Context, gated: Gated, known: (reading: ReadingIndex) => boolean): boolean {
  const { onlyIf, name, span } = gated
  if (onlyIf === undefined) return true
  const left = restricted(context.formula(onlyIf), known)
  const readings = readingsOf(left)
  const subject = { code: "never-done", span, what: `${backticked(name)} can ever be done` }
  return context.attempt(subject, true, () =>
    context.proofs.prove(
      `holds ${context.keys.of(left)}`,
      () => context.space.ask([context.space.holds(left)], readings) === "yes",
    ),
  )
}

function obstacleOf(context: Context, gated: Gated, { tests, readings }: SoFar): Obstacle {
  const { after, afterAny, onlyIf } = gated
  const before = after.find((other) => !tests[other])
  if (before !== undefined) return { kind: "after", test: before }
  if (afterAny.length > 0 && !afterAny.some((other) => tests[other]))
    return { kind: "afterAny", tests: afterAny }
  if (onlyIf === undefined) throw new Error("what can't be done has a clause that can't be met")
  if (!canHold(context, gated, () => true)) return { kind: "condition", condition: onlyIf }
  const unread = readingsOf(context.formula(onlyIf)).filter((reading) => !readings[reading])
  return { kind: "unread", readings: unread }
}

/** Whether a fault at this place is out of the machine while a test that removes parts looks for the complaint. */
export function isRemoved(model: Model, { parts }: Test, place: PlaceIndex): boolean {
  const { of } = at(model.places, place)
  return parts.includes(place) || (of !== undefined && parts.includes(of))
}

/** Whether a test can cure a fault, or leaves it out of the machine while it looks for the complaint. */
export function touches(model: Model, test: Test, fault: FaultIndex): boolean {
  const { place } = at(model.faults, fault)
  if (cureChance(model, test, fault) > 0) return true
  if (test.kind === "swaps") return test.parts.includes(place)
  return test.kind === "removes" && isRemoved(model, test, place)
}
