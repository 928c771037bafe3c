import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import type { Change, Look, Problem } from "./problem.ts"

/** What is true of the machine as a path is followed: the fault acts, its part may be fitted anew, or it has been cured. */
export const ACTIVE = 0
export const FITTED = 1
export const CURED = 2

/**
 * How much of the weight of a suspect x an action takes, on average over what it shows where h is to blame, measured
 * against the remedy for h.
 *
 * Where an outcome o comes, the weight of x falls against that of the place g of h at least to the part
 * P(o | x) / max over f in g of P(o | f); one less that part is taken. With one fault in g the average of what is taken
 * is the total variation distance of the two. An action that can turn x from active to inactive or back (a redoing of
 * its setup, a swap or put back of its part), and a rule that may rule x out, count as taking all of it.
 */
export interface Separation {
  /** `[((kind × faults + h) × actions + action) × 2·faults + x]`, x active, or behind all faults inactive. */
  readonly taken: Float64Array
  /** Tests, and behind them the put backs. */
  readonly actions: number
}

/** Larger tables than this are not worth their memory; the bound does without. */
const MOST_ENTRIES = 6_000_000

/** Whether a condition wants several together; what such a rule may take is left to loss.ts. */
export function isJoint(condition: Condition): boolean {
  return condition.kind === "and"
}

export function makeSeparation(problem: Problem): Separation | undefined {
  const { faults: n, tests, isPart, trust } = problem
  const actions = 2 * tests
  const entries = 3 * n * actions * 2 * n
  if (entries > MOST_ENTRIES) return undefined
  const taken = new Float64Array(entries)
  /** What is cured joins the cured, which makes the remedy for them likelier besides. */
  const joins = 1 + (trust > 0 ? (1 - trust) / trust : 0)
  for (let action = 0; action < actions; action++) {
    const outcomes = outcomesOf(problem, action)
    if (outcomes.length === 0) continue
    const { turns, part } = outcomes[0]!
    const each = new Float64Array(outcomes.length)
    for (let kind = ACTIVE; kind <= CURED; kind++) {
      for (let h = 0; h < n; h++) {
        const g = problem.place[h]!
        if (kind === FITTED && !isPart[g]) continue
        if (kind === CURED && isPart[g]) continue
        const most = outcomes.map((outcome) => mostOf(problem, outcome, action, kind, g))
        // Its own part in the machine, h is inactive, and active again once the old part is back.
        const isOff = kind === CURED || (part === g && action < tests)
        const isOn = kind === ACTIVE || (part === g && action >= tests)
        const at = ((kind * n + h) * actions + action) * 2 * n
        for (let x = 0; x < n; x++) {
          for (const side of [0, 1]) {
            const inactive = side === 1
            if (isOfRemedy(problem, kind, g, x, inactive)) continue
            const turned = turns(x)
            outcomes.forEach((outcome, o) => {
              const chance = (inactive ? outcome.inactive : outcome.active)[x]!
              each[o] =
                turned || outcome.killed(x) ? 1 : most[o]! > 0 ? Math.max(0, 1 - chance / most[o]!) : 0
            })
            let mean = 0
            if (!isOn)
              mean = Math.max(
                mean,
                meanOf(outcomes, each, (o) => o.inactive[h]!),
              )
            if (!isOff)
              mean = Math.max(
                mean,
                meanOf(outcomes, each, (o) => o.active[h]!),
              )
            taken[at + (inactive ? n : 0) + x] = kind === CURED && turned && !inactive ? joins : mean
          }
        }
      }
    }
  }
  return { taken, actions }
}

/** Whether the remedy that h calls for is also the one for x. */
function isOfRemedy(problem: Problem, kind: number, g: number, x: number, inactive: boolean): boolean {
  const isCured = inactive && !problem.isPart[problem.place[x]!]
  return kind === CURED ? isCured : problem.place[x] === g && !isCured
}

/** Greatest chance of an outcome with any hypothesis of the same remedy. */
function mostOf(problem: Problem, outcome: Outcome, action: number, kind: number, g: number): number {
  if (kind === CURED) return outcome.inactive.reduce((a, b) => Math.max(a, b), 0)
  const own = problem.members[g]!
  const active = own.reduce((most, f) => Math.max(most, outcome.active[f]!), 0)
  if (kind === ACTIVE) return active
  const inactive = own.reduce((most, f) => Math.max(most, outcome.inactive[f]!), 0)
  if (outcome.part === g) return action < problem.tests ? inactive : active
  return Math.max(active, inactive)
}

/** Mean of `each` over the outcomes by their chances. */
function meanOf(
  outcomes: readonly Outcome[],
  each: Float64Array,
  chanceOf: (outcome: Outcome) => number,
): number {
  let mean = 0
  for (let o = 0; o < each.length; o++) mean += chanceOf(outcomes[o]!) * each[o]!
  return Math.min(1, mean)
}

/** One outcome of an action: its chance by fault, active or not, and what it does to faults. */
interface Outcome {
  readonly active: Float64Array
  readonly inactive: Float64Array
  readonly part: number
  /** Whether a rule may take the fault. */
  readonly killed: (x: number) => boolean
  /** Whether the action may turn the fault active or inactive. */
  readonly turns: (x: number) => boolean
}

function outcomesOf(problem: Problem, action: number): Outcome[] {
  const { faults: n, tests } = problem
  const work = problem.work[action % tests]!
  if (work.kind === "look") {
    if (action >= tests) return []
    return work.outcomes.map((row, o) => {
      const killed = killedBy(problem, work, row)
      return {
        active: work.active.subarray(o * n, (o + 1) * n),
        inactive: work.inactive.subarray(o * n, (o + 1) * n),
        part: -1,
        killed: (x) => killed[x] === 1,
        turns: () => false,
      }
    })
  }
  const { part, cures, seen } = work as Change
  if (action >= tests && part < 0) return []
  const common = {
    part,
    killed: () => false,
    turns: (x: number) => cures[problem.place[x]!]! > 0 || problem.place[x] === part,
  }
  return [
    {
      ...common,
      active: seen.map((p) => 1 - p),
      inactive: new Float64Array(n).fill(1),
    },
    { ...common, active: seen, inactive: new Float64Array(n) },
  ]
}

/** By fault: 1 where some rule may rule it out with the help of these cells. */
function killedBy(problem: Problem, work: Look, row: readonly number[]): Uint8Array {
  const evidence = new Int16Array(problem.readings).fill(-1)
  work.reads.forEach((r, k) => {
    evidence[r] = row[k]!
  })
  const killed = new Uint8Array(problem.faults)
  for (const r of work.reads) {
    const { rules } = problem.mentions[r]!
    for (const i of rules) {
      const rule = problem.rules[i]!
      if (isJoint(rule.condition)) continue
      if (evaluate(rule.condition, evidence) !== FALSE) for (const f of rule.out) killed[f] = 1
    }
  }
  return killed
}
