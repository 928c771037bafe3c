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
  const { faults: n, tests, isPart, members, trust } = problem
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
      for (const [g, own] of members.entries()) {
        if ((kind === FITTED && !isPart[g]) || (kind === CURED && isPart[g])) continue
        const most = outcomes.map((outcome) => mostOf(problem, outcome, action, kind, g))
        // Its own part in the machine, h is inactive, and active again once the old part is back.
        const mayBeOn = kind === ACTIVE || (kind === FITTED && (part !== g || action >= tests))
        const mayBeOff = kind === CURED || (kind === FITTED && (part !== g || action < tests))
        for (let column = 0; column < 2 * n; column++) {
          const x = column % n
          const isOff = column >= n
          if (isOfRemedy(problem, kind, g, x, isOff)) continue
          for (let o = 0; o < each.length; o++) {
            const { active, inactive, killed } = outcomes[o]!
            const chance = isOff ? inactive[x]! : active[x]!
            each[o] = turns[x] || killed[x] ? 1 : most[o]! > 0 ? Math.max(0, 1 - chance / most[o]!) : 0
          }
          for (const h of own) {
            let on = 0
            let off = 0
            for (let o = 0; o < each.length; o++) {
              on += outcomes[o]!.active[h]! * each[o]!
              off += outcomes[o]!.inactive[h]! * each[o]!
            }
            const mean = Math.min(1, Math.max(mayBeOn ? on : 0, mayBeOff ? off : 0))
            taken[((kind * n + h) * actions + action) * 2 * n + column] =
              kind === CURED && turns[x] && !isOff ? joins : mean
          }
        }
      }
    }
  }
  return { taken, actions }
}

/** Whether the remedy for a fault in g is also the one for x. */
function isOfRemedy(problem: Problem, kind: number, g: number, x: number, isOff: boolean): boolean {
  const isCured = isOff && !problem.isPart[problem.place[x]!]
  return kind === CURED ? isCured : problem.place[x] === g && !isCured
}

/** Greatest chance of an outcome with any hypothesis of the same remedy. */
function mostOf(problem: Problem, outcome: Outcome, action: number, kind: number, g: number): number {
  const greatest = (chances: Float64Array, among: Iterable<number>) => {
    let most = 0
    for (const f of among) most = Math.max(most, chances[f]!)
    return most
  }
  if (kind === CURED) return greatest(outcome.inactive, problem.place.keys())
  const active = greatest(outcome.active, problem.members[g]!)
  if (kind === ACTIVE) return active
  const inactive = greatest(outcome.inactive, problem.members[g]!)
  if (outcome.part === g) return action < problem.tests ? inactive : active
  return Math.max(active, inactive)
}

/** One outcome of an action: its chance by fault, active or not, and what it does to faults. */
interface Outcome {
  readonly active: Float64Array
  readonly inactive: Float64Array
  readonly part: number
  /** By fault: 1 where a rule may take it. */
  readonly killed: Uint8Array
  /** By fault: 1 where the action may turn it active or inactive. */
  readonly turns: Uint8Array
}

function outcomesOf(problem: Problem, action: number): Outcome[] {
  const { faults: n, tests } = problem
  const work = problem.work[action % tests]!
  const nothing = new Uint8Array(n)
  if (work.kind === "look") {
    if (action >= tests) return []
    return work.outcomes.map((row, o) => ({
      active: work.active.subarray(o * n, (o + 1) * n),
      inactive: work.inactive.subarray(o * n, (o + 1) * n),
      part: -1,
      killed: killedBy(problem, work, row),
      turns: nothing,
    }))
  }
  const { part, cures, seen } = work as Change
  if (action >= tests && part < 0) return []
  const common = {
    part,
    killed: nothing,
    turns: Uint8Array.from(problem.place, (place) => (cures[place]! > 0 || place === part ? 1 : 0)),
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
