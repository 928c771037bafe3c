import type { Model } from "../../model/model.ts"
import { fixWork } from "../../model/repairs.ts"
import type { FaultIndex, ReadingIndex, RuleIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Context } from "../context.ts"
import { distributionsDiffer } from "../distributions.ts"
import type { EliminationIndex } from "../eliminations.ts"
import { type Formula, NEVER, needed, readingsOf, restricted } from "../logic/formula.ts"
import { certainLeaves } from "../machine-states.ts"
import { doableTests, touches } from "./doable-tests.ts"
import { idleRuleSet } from "./idle-rules.ts"

/**
 * Tests after which all chances are as before, in every state. A test that reads is blind when no two machines that it
 * can meet show different distributions on what it reads, reading once more tells nothing of what has been cured, and no
 * rule acts on account of it. A test that changes something is blind when it touches no fault and looking once more for
 * the complaint says nothing new.
 */
export function blindTests(context: Context): TestIndex[] {
  const { model } = context
  const doable = context.once(doableTests)
  const rests = context.once(someFaultRests)
  return [...model.tests.keys()].filter((index) => {
    const { kind, reads } = at(model.tests, index)
    if (!doable.tests[index]) return false
    if (kind !== "reads" && kind !== "told") return !changes(context, index)
    const { name, span } = at(model.tests, index)
    const subject = { code: "blind-test", span, what: `${backticked(name)} tells anything` }
    return context.attempt(subject, false, () => !tells(context, reads, rests))
  })
}

function tells(context: Context, reads: readonly ReadingIndex[], rests: boolean): boolean {
  return reads.some((reading) => differs(context, reading, rests)) || feedsRule(context, reads)
}

/** Do two machines that can come to the bench differ on this reading? */
function differs({ model, kinds }: Context, reading: ReadingIndex, rests: boolean): boolean {
  const { healthy, told, trust, cells } = at(model.readings, reading)
  if (trust <= 0) return false
  const speaking = model.faults.flatMap((fault) => fault.chances[reading] ?? [])
  const shown = model.faults.map((fault) => fault.chances[reading] ?? healthy)
  if (!told && rests) {
    // Once its fault is cured or out of the machine, a healthy machine is read; and where a fault speaks, the reading is
    // drawn anew then, while with any other fault it comes out as before.
    if (speaking.some((chances) => !isSure(chances))) return true
    shown.push(healthy)
  }
  if (kinds.unlisted) {
    const all = cells.reduce((sum, { weight }) => sum + weight, 0)
    shown.push(Float64Array.from(cells, ({ weight }, cell) => (at(healthy, cell) + weight / all) / 2))
  }
  const [first, ...others] = shown
  return first !== undefined && others.some((each) => distributionsDiffer(each, first))
}

/** One cell has all of the chance. */
function isSure(chances: Float64Array): boolean {
  return chances.some((chance) => chance > 1 - 1e-12)
}

/** Can a test or a repair make some fault inactive? */
function someFaultRests(context: Context): boolean {
  const { model } = context
  const doable = context.once(doableTests)
  return model.faults.some(
    (_, fault) =>
      isRepairable(model, fault) ||
      model.tests.some((test, i) => doable.tests[i] && touches(model, test, fault)),
  )
}

/** Is there a repair of its own for this fault? */
export function isRepairable(model: Model, fault: FaultIndex): boolean {
  return (
    at(model.places, at(model.faults, fault).place).kind === "part" || fixWork(model, fault) !== undefined
  )
}

/** Are there findings that tests can get on which a rule acts on something that, without these readings, none would have? */
function feedsRule(context: Context, reads: readonly ReadingIndex[]): boolean {
  const { eliminations, possible } = context
  const doable = context.once(doableTests)
  if (!possible) return false
  const got = (reading: ReadingIndex) => at(doable.readings, reading)
  for (const index of [...new Set(reads.flatMap((reading) => at(context.rulesOn, reading)))]) {
    if (context.unreachable[index]) continue
    const formula = restricted(at(eliminations, index).formula, got)
    if (formula === NEVER) continue
    // At some point this rule acts on something that no other does, and it cannot without the reading.
    const whole = readingsOf(at(eliminations, index).formula).every(got)
    const idle = context.once(idleRuleSet).has(index)
    if (whole && !idle && needed(formula).some((reading) => reads.includes(reading))) return true
    if (actsOnAccountOf(context, index, formula, reads)) return true
  }
  return false
}

/** `formula`: what is left of the rule on readings that tests can get. */
function actsOnAccountOf(
  context: Context,
  rule: RuleIndex,
  formula: Formula,
  reads: readonly ReadingIndex[],
): boolean {
  const { eliminations, kinds, proofs, space, keys } = context
  const doable = context.once(doableTests)
  const without = (elimination: EliminationIndex): Formula =>
    restricted(
      at(eliminations, elimination).formula,
      (reading) => at(doable.readings, reading) && !reads.includes(reading),
    )
  // Whom the others leave is only asked where single faults are all there is; else it is enough that this one acts.
  const lists: readonly (readonly EliminationIndex[])[] = kinds.pairs
    ? [[rule]]
    : rivalsByTarget(context, rule)
  return lists.some((list) => {
    const others = list.map(without).filter((left) => left !== NEVER)
    return proofs.prove(`feeds ${keys.of(formula, ...others)}`, () => {
      const nodes = [space.holds(formula), ...others.map((left) => space.fails(left))]
      return space.ask(nodes, readingsOf(formula)) === "yes"
    })
  })
}

/** By target of the rule: what rules it out, and the rule itself. */
function rivalsByTarget(context: Context, rule: RuleIndex): (readonly EliminationIndex[])[] {
  const { eliminations, model, kinds, against } = context
  const lists = at(eliminations, rule).out.map((fault): readonly EliminationIndex[] => [
    ...new Set([...at(against, fault), rule]),
  ])
  if (kinds.unlisted && at(model.rules, rule).verb === "leaves only")
    lists.push([...new Set([...context.once(certainLeaves), rule])])
  return lists
}

function changes(context: Context, index: TestIndex): boolean {
  const { model, kinds } = context
  const doable = context.once(doableTests)
  const test = at(model.tests, index)
  if (model.faults.some((_, fault) => touches(model, test, fault))) return true
  const recurs = new Set(model.faults.map((fault) => fault.recurs))
  // Something not listed always shows.
  if (kinds.unlisted) recurs.add(1)
  if (recurs.size > 1) return true
  const comesAndGoes = [...recurs].some((chance) => chance < 1)
  if (!comesAndGoes) return false
  // Two faults show more often than one. And one that comes and goes may have been cured by an earlier step unnoticed:
  // then another look tells something.
  return (
    kinds.pairs ||
    model.faults.some((_, fault) => isRepairable(model, fault)) ||
    model.tests.some(
      (other, i) =>
        i !== index && doable.tests[i] && model.faults.some((_, fault) => touches(model, other, fault)),
    )
  )
}
