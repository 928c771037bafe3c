import type { Context } from "../context.ts"
import { readingsOf, restricted } from "../logic/formula.ts"
import { deadFaults } from "./dead-faults.ts"
import { doableTests, placesChanged } from "./doable-tests.ts"

/**
 * Groups of faults, with at least two remedies, which no sequence of the tests can tell apart.
 *
 * Two faults are in one group when the tests that can be done
 * - leave both alone or redo both with the same chance to cure, each of them (a swap of a part, followed by putting it
 *   back, tells its faults from all others, seats that it redoes among them, so no group holds a part that is swapped),
 * - read nothing on which the two show different distributions,
 * - look for a complaint that both show equally often, if they look for it at all,
 * - and no findings on their readings, of those that can occur, let a rule take one of the two and leave the other.
 *
 * Groups that one test cures for sure are left out: after it there is nothing to tell apart.
 *
 * Then every outcome of every test has the same chance with both, whatever was done before, and by induction over the
 * sequence their chances keep the ratio of their odds. The other way round, each difference above belongs to a test that
 * can be done, and shifts that ratio. Being the same in all respects is an equivalence, so the groups are its classes.
 */
export function inseparableGroups(context: Context): number[][] {
  const { model } = context
  const dead = new Set(context.once(deadFaults).map((each) => each.fault))
  const classes = new Map<string, number[]>()
  for (const fault of model.faults.keys()) {
    if (dead.has(fault)) continue
    const key = signature(context, fault)
    const members = classes.get(key) ?? []
    members.push(fault)
    classes.set(key, members)
  }
  return [...classes.values()]
    .filter((members) => manyRemedies(context, members))
    .flatMap((members) => splitByRules(context, members))
    .filter((members) => manyRemedies(context, members) && !curedTogether(context, members))
}

/** One test that surely cures them all leaves one remedy for all, so nothing has to be guessed. */
function curedTogether(context: Context, members: readonly number[]): boolean {
  const { model } = context
  const doable = context.once(doableTests)
  return model.tests.some((_, i) => {
    const cures = doable.tests[i] ? placesChanged(model, i) : undefined
    return members.every((fault) => cures?.get(model.faults[fault]!.place) === 1)
  })
}

function manyRemedies({ model }: Context, members: readonly number[]): boolean {
  return new Set(members.map((fault) => model.faults[fault]!.place)).size > 1
}

/** Equal for faults that work and readings treat alike. */
function signature(context: Context, fault: number): string {
  const { model } = context
  const doable = context.once(doableTests)
  const { place, recurs, chances } = model.faults[fault]!
  const parts: string[] = []
  let looks = false
  for (const [i, test] of model.tests.entries()) {
    if (!doable.tests[i] || (test.kind !== "swaps" && test.kind !== "redoes")) continue
    looks = true
    const cures = placesChanged(model, i).get(place) ?? 0
    if (cures === 0) continue
    parts.push(test.part === place ? `swapped ${place}` : `${i}: ${cures.toPrecision(12)}`)
  }
  if (looks) parts.push(`recurs ${recurs.toPrecision(12)}`)
  for (const [i, own] of chances.entries()) {
    if (own === undefined || !doable.readings[i]) continue
    const { healthy } = model.readings[i]!
    if (own.every((chance, cell) => Math.abs(chance - healthy[cell]!) <= 1e-12)) continue
    parts.push(`${i} shows ${[...own].map((chance) => chance.toPrecision(12)).join(" ")}`)
  }
  return parts.join("; ")
}

function splitByRules(context: Context, members: readonly number[]): number[][] {
  const groups: number[][] = []
  for (const fault of members) {
    const group = groups.find(
      ([first]) => !ruleSeparates(context, first!, fault) && !ruleSeparates(context, fault, first!),
    )
    if (group === undefined) groups.push([fault])
    else group.push(fault)
  }
  return groups
}

/** Can findings that the tests read take `one` by a rule and leave `other`? */
function ruleSeparates(context: Context, one: number, other: number): boolean {
  const { model, space, proofs, eliminations, against, possible } = context
  const doable = context.once(doableTests)
  if (!possible) return false
  const spares = new Set(against[other]!)
  const rules = against[one]!.filter((i) => i < model.rules.length && !spares.has(i))
  if (rules.length === 0) return false
  const known = (reading: number) => doable.readings[reading]!
  const takes = rules.map((i) => restricted(eliminations[i]!.formula, known))
  const leaves = against[other]!.map((i) => restricted(eliminations[i]!.formula, known))
  const readings = readingsOf(...takes)
  const key = `separates ${context.keys.of(...takes)} from ${context.keys.of(...leaves)}`
  return proofs.prove(key, () => {
    const some = space.some(takes.map((formula) => space.holds(formula)))
    return space.ask([some, ...leaves.map((formula) => space.fails(formula))], readings) === "yes"
  })
}
