import { cureChance } from "../../model/repairs.ts"
import type { FaultIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Context, Unproved } from "../context.ts"
import { readingsOf, restricted, union } from "../logic/formula.ts"
import { ruleName } from "../message-parts.ts"
import { deadFaults } from "./dead-faults.ts"
import { doableTests, isRemoved } from "./doable-tests.ts"

/**
 * Groups of faults in at least two places, which no sequence of the tests can tell apart.
 *
 * Two faults are in one group when the tests that can be done
 * - cure both with the same chance, each of them, whatever they redo on the way,
 * - never leave one of them out while the other stays: no test fits a known-good part for the one (taking that part out
 *   again would tell them apart), and each `removes` takes out both or none,
 * - read nothing on which the two show different distributions (nor, where two faults count, nothing of which only one
 *   of them speaks: beside a third fault that makes a difference),
 * - look for a complaint that both show equally often, if they look for it at all,
 * - and no findings on their readings, of those that can occur, let a rule act on one of the two and not on the other.
 *
 * Groups that one test cures for sure are left out: after it there is nothing to tell apart.
 *
 * Then every outcome of every test has the same chance with both, whatever was done before and whatever else is wrong,
 * and by induction over the sequence their chances keep the ratio of their odds. The other way round, each difference
 * above belongs to a test that can be done, and shifts that ratio. Being the same in all respects is an equivalence, so
 * the groups are its classes.
 */
export function inseparableGroups(context: Context): FaultIndex[][] {
  const { model } = context
  // Where the `never`s forbid everything there are no findings to speak of, and that is an error of its own.
  if (!context.possible) return []
  const dead = new Set(context.once(deadFaults).map((each) => each.fault))
  const classes = new Map<string, FaultIndex[]>()
  for (const fault of model.faults.keys()) {
    if (dead.has(fault)) continue
    const key = signature(context, fault)
    const members = classes.get(key) ?? []
    members.push(fault)
    classes.set(key, members)
  }
  return [...classes.values()]
    .filter((members) => inManyPlaces(context, members))
    .flatMap((members) => splitByRules(context, members))
    .filter((members) => inManyPlaces(context, members) && !curedTogether(context, members))
}

/** One test that surely cures them all leaves nothing to tell apart. */
function curedTogether(context: Context, members: readonly FaultIndex[]): boolean {
  const { model } = context
  const doable = context.once(doableTests)
  return model.tests.some(
    (test, i) => doable.tests[i] && members.every((fault) => cureChance(model, test, fault) >= 1),
  )
}

function inManyPlaces({ model }: Context, members: readonly FaultIndex[]): boolean {
  return new Set(members.map((fault) => at(model.faults, fault).place)).size > 1
}

/** Equal for faults that tests and readings treat alike. */
function signature(context: Context, fault: FaultIndex): string {
  const { model, kinds } = context
  const doable = context.once(doableTests)
  const { place, recurs, chances } = at(model.faults, fault)
  const parts: string[] = []
  let looks = false
  for (const [i, test] of model.tests.entries()) {
    if (!doable.tests[i] || test.kind === "reads" || test.kind === "told") continue
    looks = true
    const cures = cureChance(model, test, fault)
    if (cures > 0) parts.push(`${i} cures ${cures.toPrecision(12)}`)
    if (test.kind === "swaps" && test.parts.includes(place)) parts.push(`swapped ${place}`)
    if (test.kind === "removes" && isRemoved(model, test, place)) parts.push(`${i} removes`)
  }
  if (looks) parts.push(`recurs ${recurs.toPrecision(12)}`)
  for (const [i, own] of chances.entries()) {
    if (own === undefined || !doable.readings[i]) continue
    const { healthy } = at(model.readings, i)
    if (!kinds.pairs && own.every((chance, cell) => Math.abs(chance - at(healthy, cell)) <= 1e-12)) continue
    parts.push(`${i} shows ${[...own].map((chance) => chance.toPrecision(12)).join(" ")}`)
  }
  return parts.join("; ")
}

function splitByRules(context: Context, members: readonly FaultIndex[]): FaultIndex[][] {
  const groups: FaultIndex[][] = []
  for (const fault of members) {
    const group = groups.find(
      (others) =>
        !ruleSeparates(context, at(others, 0), fault) && !ruleSeparates(context, fault, at(others, 0)),
    )
    if (group === undefined) groups.push([fault])
    else group.push(fault)
  }
  return groups
}

function doubt({ model }: Context, one: FaultIndex, other: FaultIndex): Unproved {
  const [a, b] = one < other ? [one, other] : [other, one]
  const [{ name, span }, second] = [at(model.faults, a), at(model.faults, b)]
  const what = `any test can tell ${backticked(name)} and ${backticked(second.name)} apart`
  return { code: "inseparable", span, what }
}

/** Can findings that the tests read let a rule act on `one` and not on `other`, and leave `other`? */
function ruleSeparates(context: Context, one: FaultIndex, other: FaultIndex): boolean {
  const { model, space, proofs, eliminations, against } = context
  const doable = context.once(doableTests)
  const rules = [...model.rules.keys()].filter(
    (i) => context.takes(i, one) && !context.takes(i, other) && shifts(context, i, one),
  )
  if (rules.length === 0) return false
  const known = (reading: ReadingIndex) => at(doable.readings, reading)
  const takes = union(rules.map((i) => restricted(at(eliminations, i).formula, known)))
  // Beside a third fault the other one may be left although alone it is not.
  const spared = context.kinds.pairs ? [] : at(against, other)
  const leaves = union(spared.map((i) => restricted(at(eliminations, i).formula, known)))
  return context.attempt(doubt(context, one, other), true, () =>
    proofs.prove(
      `separates ${context.keys.of(takes)} from ${context.keys.of(leaves)}`,
      () => space.ask([space.holds(takes), space.fails(leaves)], readingsOf(takes)) === "yes",
    ),
  )
}

/**
 * A rule that is not trusted fully, and acts whatever this fault lets the tests find, takes the same part of each
 * outcome: that changes no chance, for a rule does not change how likely a fault was. (Beside a third fault it may.)
 */
function shifts(context: Context, rule: RuleIndex, fault: FaultIndex): boolean {
  const { model, space, proofs, eliminations, against, kinds } = context
  if (kinds.pairs || at(model.rules, rule).chance >= 1) return true
  const doable = context.once(doableTests)
  const acts = restricted(at(eliminations, rule).formula, (reading) => at(doable.readings, reading))
  const shown = at(against, fault)
    .filter((i) => at(eliminations, i).rule === undefined)
    .map((i) => at(eliminations, i).formula)
  const key = `shifts ${context.keys.of(acts)} with ${context.keys.of(...shown)}`
  // Where this can't be answered it is taken to shift: then the question of findings follows.
  const subject = {
    code: "inseparable",
    span: at(model.rules, rule).span,
    what: `${ruleName(at(model.rules, rule))} tells faults apart`,
  }
  return context.attempt(subject, true, () =>
    proofs.prove(key, () => {
      const nodes = [acts, ...shown].map((formula) => space.failsActually(formula))
      return space.ask(nodes, readingsOf(acts)) === "yes"
    }),
  )
}
