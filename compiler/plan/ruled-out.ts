import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import { allOf, maskOf } from "./fault-states.ts"
import { type Problem, readingsIn } from "./problem.ts"
import type { Readings } from "./readings.ts"

/** A cell of less chance doesn't save a hypothesis, since several such chances make a sum that counts as 0. */
const CLEARLY = 1e-5

/** A rule that takes more than this is one that takes all. */
const NEARLY_ALL = 0.9999

/**
 * By state of the machine: 1 where no rule and no never can ever take a whole hypothesis of it, nor change a cure's
 * chance. Then what a job costs in that state counts in full towards the total. In others rules may take the
 * hypothesis out of the belief before its cost has been spent, and nothing is counted.
 *
 * The test is sufficient, not necessary. For all conditions that can strike the state: none mixes told questions with
 * readings; each of their readings has a cell, possible whatever is active, that makes all conditions on it false, so
 * that no finding can leave nothing; and all faults of the state speak of it, so that a reading taken again never
 * repeats a cell found with other faults active.
 */
export function safeStates(problem: Problem, readings: Readings): Uint8Array {
  const { states } = problem
  return Uint8Array.from({ length: states.count }, (_, state) => (isSafe(problem, readings, state) ? 1 : 0))
}

function isSafe(problem: Problem, readings: Readings, state: number): boolean {
  const conditions = strikes(problem, state)
  const asked = new Set(conditions.flatMap((condition) => [...readingsIn(condition)]))
  if (conditions.some((condition) => isMixed(problem, condition))) return false
  return [...asked].every((reading) => {
    const all = allOf(problem.states, state)
    const { told } = problem.model.readings[reading]!
    if (!told && readings.speaking(reading, state) !== all) return false
    const about = conditions.filter((condition) => readingsIn(condition).has(reading))
    return hasWayOut(problem, readings, state, reading, about)
  })
}

/** Conditions of rules and nevers that could take all of a hypothesis of this state, or shift what is cured. */
function strikes(problem: Problem, state: number): Condition[] {
  const rules = problem.rules.filter(({ chance, condition, names, leavesOnly }) => {
    if (chance < NEARLY_ALL && !isMixed(problem, condition)) return false
    const named = maskOf(problem.states, state, names)
    return leavesOnly ? named !== allOf(problem.states, state) || named === 0 : named !== 0
  })
  return [...rules.map(({ condition }) => condition), ...problem.nevers]
}

function isMixed(problem: Problem, condition: Condition): boolean {
  const told = [...readingsIn(condition)].map((r) => problem.model.readings[r]!.told)
  return told.includes(true) && told.includes(false)
}

/** Whether a reading has a cell, possible whatever faults of the state are active, with which none of these can be true. */
function hasWayOut(
  problem: Problem,
  readings: Readings,
  state: number,
  reading: number,
  conditions: readonly Condition[],
): boolean {
  const all = allOf(problem.states, state)
  const view = new Int32Array(problem.model.readings.length).fill(-1)
  return problem.model.readings[reading]!.cells.some((_, cell) => {
    for (let active = 0; active <= all; active++) {
      if ((active & ~all) === 0 && !(readings.distribution(reading, state, active)[cell]! > CLEARLY))
        return false
    }
    view[reading] = cell
    return conditions.every((condition) => evaluate(condition, view) === FALSE)
  })
}
