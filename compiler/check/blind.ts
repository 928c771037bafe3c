import type { Context } from "./context.ts"
import { touched } from "./doable.ts"
import { type Formula, NEVER, readingsOf, restricted } from "./logic/formula.ts"
import { distributionsDiffer } from "./remedies.ts"

/**
 * Tests after which all chances are as before, in every state. A test that reads is blind when no two machines that it
 * can meet show different distributions on what it reads, and no rule takes a fault on account of it. A test that
 * changes something is blind when it touches no fault and looking once more for the complaint says nothing new.
 */
export function blindTests(context: Context): number[] {
  const { model, doable } = context
  return [...model.tests.keys()].filter((index) => {
    const test = model.tests[index]!
    if (!doable.tests[index]) return false
    return test.part === undefined && test.redoes.length === 0
      ? !tells(context, test.reads)
      : !changes(context, index)
  })
}

function tells(context: Context, reads: readonly number[]): boolean {
  return reads.some((reading) => differs(context, reading)) || feedsRule(context, reads)
}

/** Do two machines that can come to the bench differ on this reading? */
function differs(context: Context, reading: number): boolean {
  const { model } = context
  const { healthy, told } = model.readings[reading]!
  const shown = model.faults.map((fault) => fault.chances[reading] ?? healthy)
  // Once its place is cured or swapped, a fault shows what a healthy machine shows.
  if (!told && model.faults.some((_, fault) => canRest(context, fault))) shown.push(healthy)
  return shown.some((each) => distributionsDiffer(each, shown[0]!))
}

function canRest({ model, doable }: Context, fault: number): boolean {
  const { place } = model.faults[fault]!
  return model.tests.some((_, i) => doable.tests[i] && touched(model, i).has(place))
}

/** Are there findings on which a rule takes a fault that, without these readings, none would have taken? */
function feedsRule(context: Context, reads: readonly number[]): boolean {
  const { model, space, eliminations, against, possible } = context
  if (!possible) return false
  const without = (formula: Formula): Formula => restricted(formula, (reading) => !reads.includes(reading))
  for (const [index, rule] of model.rules.entries()) {
    const { formula } = eliminations[index]!
    const readings = readingsOf(formula)
    if (context.unreachable[index] || !readings.some((reading) => reads.includes(reading))) continue
    for (const fault of rule.out) {
      const others = against[fault]!.map((i) => without(eliminations[i]!.formula)).filter(
        (left) => left !== NEVER,
      )
      const nodes = [space.holds(formula), ...others.map((left) => space.fails(left))]
      if (space.ask(nodes, readings) === "yes") return true
    }
  }
  return false
}

function changes({ model, doable }: Context, index: number): boolean {
  const places = touched(model, index)
  if (model.faults.some((fault) => places.has(fault.place))) return true
  const recurs = new Set(model.faults.map((fault) => fault.recurs))
  if (recurs.size > 1) return true
  // A fault that always shows is known to be there or not after any look; one that comes and goes may have been cured by
  // an earlier step unnoticed, and then another look tells something.
  const comesAndGoes = [...recurs].some((chance) => chance < 1)
  const otherChange = model.tests.some(
    (_, i) =>
      i !== index && doable.tests[i] && model.faults.some((fault) => touched(model, i).has(fault.place)),
  )
  return comesAndGoes && otherChange
}
