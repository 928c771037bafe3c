import type { Context } from "../context.ts"
import { type Formula, NEVER, needed, readingsOf, restricted } from "../logic/formula.ts"
import { distributionsDiffer } from "../remedies.ts"
import { doableTests, placesChanged } from "./doable-tests.ts"
import { idleRuleSet } from "./idle-rules.ts"

/**
 * Tests after which all chances are as before, in every state. A test that reads is blind when no two machines that it
 * can meet show different distributions on what it reads, and no rule takes a fault on account of it. A test that
 * changes something is blind when it touches no fault and looking once more for the complaint says nothing new.
 */
export function blindTests(context: Context): number[] {
  const { model } = context
  const doable = context.once(doableTests)
  const rests = someFaultRests(context)
  return [...model.tests.keys()].filter((index) => {
    const test = model.tests[index]!
    if (!doable.tests[index]) return false
    return test.part === undefined && test.redoes.length === 0
      ? !tells(context, test.reads, rests)
      : !changes(context, index)
  })
}

function tells(context: Context, reads: readonly number[], rests: boolean): boolean {
  return reads.some((reading) => differs(context, reading, rests)) || feedsRule(context, reads)
}

/** Do two machines that can come to the bench differ on this reading? */
function differs({ model }: Context, reading: number, rests: boolean): boolean {
  const { healthy, told } = model.readings[reading]!
  const shown = model.faults.map((fault) => fault.chances[reading] ?? healthy)
  // Once its place is cured or swapped, a fault shows what a healthy machine shows.
  if (!told && rests) shown.push(healthy)
  return shown.some((each) => distributionsDiffer(each, shown[0]!))
}

/** Can a test make some fault inactive? */
function someFaultRests(context: Context): boolean {
  const { model } = context
  const doable = context.once(doableTests)
  const places = new Set(model.faults.map((fault) => fault.place))
  return model.tests.some(
    (_, i) => doable.tests[i] && [...placesChanged(model, i).keys()].some((place) => places.has(place)),
  )
}

/** Are there findings that tests can get on which a rule takes a fault that, without these readings, none would have taken? */
function feedsRule(context: Context, reads: readonly number[]): boolean {
  const { model, space, eliminations, against, possible } = context
  const doable = context.once(doableTests)
  if (!possible) return false
  const got = (reading: number) => doable.readings[reading]!
  const without = (formula: Formula): Formula =>
    restricted(formula, (reading) => got(reading) && !reads.includes(reading))
  for (const index of [...new Set(reads.flatMap((reading) => context.rulesOn[reading]!))]) {
    if (context.unreachable[index]) continue
    const formula = restricted(eliminations[index]!.formula, got)
    if (formula === NEVER) continue
    // At some point this rule takes a fault that no other takes, and it cannot without the reading.
    const whole = readingsOf(eliminations[index]!.formula).every(got)
    if (
      whole &&
      !context.once(idleRuleSet).has(index) &&
      needed(formula).some((reading) => reads.includes(reading))
    )
      return true
    const readings = readingsOf(formula)
    for (const fault of model.rules[index]!.out) {
      const others = against[fault]!.map((i) => without(eliminations[i]!.formula)).filter(
        (left) => left !== NEVER,
      )
      const key = `feeds ${context.keys.of(formula, ...others)}`
      const takes = context.proofs.prove(key, () => {
        const nodes = [space.holds(formula), ...others.map((left) => space.fails(left))]
        return space.ask(nodes, readings) === "yes"
      })
      if (takes) return true
    }
  }
  return false
}

function changes(context: Context, index: number): boolean {
  const { model } = context
  const doable = context.once(doableTests)
  const places = placesChanged(model, index)
  if (model.faults.some((fault) => places.has(fault.place))) return true
  const recurs = new Set(model.faults.map((fault) => fault.recurs))
  if (recurs.size > 1) return true
  // A fault that always shows is known to be there or not after any look; one that comes and goes may have been cured by
  // an earlier step unnoticed, and then another look tells something.
  const comesAndGoes = [...recurs].some((chance) => chance < 1)
  const otherChange = model.tests.some(
    (_, i) =>
      i !== index &&
      doable.tests[i] &&
      model.faults.some((fault) => placesChanged(model, i).has(fault.place)),
  )
  return comesAndGoes && otherChange
}
