import type { Condition, Model, Test } from "../../model/model.ts"
import { cureChance } from "../../model/repairs.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex, Table, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Context } from "../context.ts"
import { readingsOf, restricted } from "../logic/formula.ts"

/** Why a test can never be done. */
export type Obstacle =
  | { readonly kind: "after"; readonly test: TestIndex }
  /** None of the tests of `after any of` can be done. */
  | { readonly kind: "afterAny"; readonly tests: readonly TestIndex[] }
  /** No findings that can occur meet its `only if`. */
  | { readonly kind: "condition"; readonly condition: Condition }
  /** Readings that its `only if` needs, which no test gets before it. */
  | { readonly kind: "unread"; readonly readings: readonly ReadingIndex[] }

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
      if (tests[i] || !test.after.every((before) => tests[before])) continue
      if (test.afterAny.length > 0 && !test.afterAny.some((before) => tests[before])) continue
      if (!canHold(context, i, (reading) => at(readings, reading))) continue
      tests[i] = true
      for (const reading of test.reads) readings[reading] = true
      changed = true
    }
  }
  const obstacles = new Map<TestIndex, Obstacle>()
  for (const [i, done] of tests.entries())
    if (!done) obstacles.set(i, obstacleOf(context, i, tests, readings))
  return { tests, readings, obstacles }
}

function canHold(context: Context, test: TestIndex, known: (reading: ReadingIndex) => boolean): boolean {
  const { onlyIf } = at(context.model.tests, test)
  if (onlyIf === undefined) return true
  const left = restricted(context.formula(onlyIf), known)
  const readings = readingsOf(left)
  const { name, span } = at(context.model.tests, test)
  const subject = { code: "never-done", span, what: `${backticked(name)} can ever be done` }
  return context.attempt(subject, true, () =>
    context.proofs.prove(
      `holds ${context.keys.of(left)}`,
      () => context.space.ask([context.space.holds(left)], readings) === "yes",
    ),
  )
}

function obstacleOf(
  context: Context,
  test: TestIndex,
  tests: Table<TestIndex, boolean>,
  readings: Table<ReadingIndex, boolean>,
): Obstacle {
  const { after, afterAny, onlyIf } = at(context.model.tests, test)
  const before = after.find((other) => !tests[other])
  if (before !== undefined) return { kind: "after", test: before }
  if (afterAny.length > 0 && !afterAny.some((other) => tests[other]))
    return { kind: "afterAny", tests: afterAny }
  if (onlyIf === undefined) throw new Error("a test that can't be done has a clause that can't be met")
  if (!canHold(context, test, () => true)) return { kind: "condition", condition: onlyIf }
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
