import type { Condition } from "../model/model.ts"
import { evaluate, TRUE } from "./condition.ts"
import { type Problem, readingsIn } from "./problem.ts"
import { ACTIVE, CURED, isJoint } from "./separation.ts"
import type { State } from "./state.ts"

/**
 * What rules and nevers do on the path of fault f, at most, by what each test finds: `lost` gets the chance that they
 * take f itself, `masked` the weight of others that joint rules take.
 */
export type Losses = (f: number, kind: number, lost: Float64Array, masked: Float64Array) => void

/** One of the conditions that a condition wants together. */
interface Item {
  readonly condition: Condition
  /** `[kind × faults + f]`: chance that it comes out true each time that it is read. */
  readonly chance: Float64Array
  readonly tests: readonly number[]
}

/**
 * A ruleset may rule out a fault that is there: its weight is gone then, and with it all that its path would still have
 * cost. A joint condition can only come true after each of its items has, so its chance is that of any one of them that
 * is still to come out, and is put down to the tests that read this one: the least likely with f.
 */
export function makeLosses(problem: Problem): (state: State) => Losses {
  const { model, faults, tests } = problem
  const conditions = [...problem.rules.map((rule) => rule.condition), ...problem.nevers]
  const items = conditions.map((condition) =>
    (isJoint(condition) && condition.kind === "and" ? condition.items : [condition]).map((each): Item => {
      const reads = readingsIn(each)
      return {
        condition: each,
        chance: Float64Array.from({ length: 3 * faults }, (_, i) =>
          chanceOf(problem, each, i % faults, Math.floor(i / faults), true),
        ),
        tests: model.tests.flatMap((test, t) => (test.reads.some((r) => reads.has(r)) ? [t] : [])),
      }
    }),
  )
  const rules = problem.rules.length
  const joint = conditions.map((condition, i) => i < rules && isJoint(condition))
  /** In the state at hand: the conditions that may still come true, and what each still waits for. */
  let open: {
    readonly index: number
    readonly waits: Item[]
    readonly weight: number
  }[] = []

  return ({ ids, weights, evidence, used }) => {
    open = []
    for (let i = 0; i < conditions.length; i++) {
      const waits: Item[] = []
      let isClosed = false
      for (const item of items[i]!) {
        if (evaluate(item.condition, evidence) === TRUE) continue
        waits.push(item)
        isClosed ||= item.tests.every((t) => used[t])
      }
      // What is true has acted.
      if (isClosed || waits.length === 0) continue
      let weight = 0
      if (i < rules) {
        const { isOut } = problem.rules[i]!
        for (let k = 0; k < ids.length; k++) if (isOut[ids[k]! % faults]) weight += weights[k]!
        if (weight === 0) continue
      }
      open.push({ index: i, waits, weight })
    }
    return (f, kind, lost, masked) => {
      lost.fill(0, 0, tests)
      masked.fill(0, 0, tests)
      for (const { index, waits, weight } of open) {
        const isLost = index >= rules || problem.rules[index]!.isOut[f] === 1
        if (!isLost && !joint[index]) continue
        let least = waits[0]!
        for (const item of waits)
          if (item.chance[kind * faults + f]! < least.chance[kind * faults + f]!) least = item
        const chance = least.chance[kind * faults + f]!
        if (chance === 0) continue
        for (const t of least.tests) {
          if (isLost) lost[t]! += chance
          else masked[t]! += chance * weight
        }
      }
    }
  }
}

/** Chance, at most, that a condition is as wanted once its readings have been read, with fault f in one of its states. */
function chanceOf(problem: Problem, c: Condition, f: number, kind: number, wanted: boolean): number {
  if (c.kind === "not") return chanceOf(problem, c.item, f, kind, !wanted)
  if (c.kind === "in") {
    const { healthy, told } = problem.model.readings[c.reading]!
    const own = problem.model.faults[f]!.chances[c.reading] ?? healthy
    const sum = (chances: ArrayLike<number>) => {
      let all = 0
      for (let i = 0; i < chances.length; i++) if (c.cells[i] === wanted) all += chances[i]!
      return all
    }
    if (kind === ACTIVE) return sum(own)
    const off = sum(told ? own : healthy)
    return kind === CURED ? off : Math.max(off, sum(own))
  }
  const chances = c.items.map((item) => chanceOf(problem, item, f, kind, wanted))
  // Of several wanted together all but one may have come out already.
  if ((c.kind === "and") === wanted) return Math.max(...chances)
  return Math.min(
    1,
    chances.reduce((a, b) => a + b, 0),
  )
}
