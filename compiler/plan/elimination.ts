import { evaluate, FALSE } from "./condition.ts"
import { type Change, type Look, type Problem, readingsIn } from "./problem.ts"

/**
 * How much of a fault's weight one outcome of an action can take away, measured against a remedy to be believed.
 *
 * For an outcome o and a place g, the **elimination** of a fault x outside g is 1 − P(o | x) / max over f in g of
 * P(o | f), or 0 where no fault in g can give o. Whatever else is done on a path on which g is to blame, the weight of x
 * against that of g falls at most by the product of these ratios. x may be active or inactive at the time, and so may
 * the faults in g once their part is swapped, hence four tables. An action that can turn x from active to inactive or
 * back (a redoing of its setup, a swap or put back of its part) counts as taking all of it, which keeps the product a
 * bound.
 */
export interface Eliminations {
  /** By action: its first row, and behind the last action the number of rows. Put backs come behind the tests. */
  readonly firstRow: Int32Array
  /** `[(row × places + g) × faults + x]`, faults in g active all along. */
  readonly own: Sides
  /** The same where the part g may also be replaced by a known-good one. */
  readonly swapped: Sides
}

/** By the state of x. */
export interface Sides {
  readonly active: Float64Array
  readonly inactive: Float64Array
}

/** Larger tables than this are not worth their memory; the bound does without. */
const MOST_ENTRIES = 3_000_000

export function makeEliminations(problem: Problem): Eliminations | undefined {
  const { faults, tests, work } = problem
  const places = problem.price.length
  const firstRow = new Int32Array(2 * tests + 1)
  for (let action = 0; action < 2 * tests; action++) {
    const each = work[action % tests]!
    const rows =
      each.kind === "look"
        ? action < tests
          ? each.outcomes.length
          : 0
        : action < tests || each.part >= 0
          ? 2
          : 0
    firstRow[action + 1] = firstRow[action]! + rows
  }
  const entries = firstRow[2 * tests]! * places * faults
  if (entries > MOST_ENTRIES) return undefined
  const sides = (): Sides => ({ active: new Float64Array(entries), inactive: new Float64Array(entries) })
  const made: Eliminations = { firstRow, own: sides(), swapped: sides() }
  const members = problem.model.places.map((_, g) => indexesWhere(faults, (f) => problem.place[f] === g))
  for (let action = 0; action < 2 * tests; action++) {
    const rows = firstRow[action + 1]! - firstRow[action]!
    for (let o = 0; o < rows; o++) {
      const chances = chancesOf(problem, action, o)
      for (let g = 0; g < places; g++) {
        const at = ((firstRow[action]! + o) * places + g) * faults
        const active = largest(members[g]!, chances.active)
        const inactive = problem.isPart[g] ? largest(members[g]!, chances.inactive) : 0
        // While its own part is fitted, nothing of g is active; after it has been put back, nothing of it is inactive.
        const turnsOwn = chances.part === g
        fill(made.own, at, chances, turnsOwn && action < tests ? 0 : active)
        fill(
          made.swapped,
          at,
          chances,
          turnsOwn ? (action < tests ? inactive : active) : Math.max(active, inactive),
        )
      }
    }
  }
  return made
}

/** One outcome of an action: its chance by fault, active or not, and the faults that it may turn or kill. */
interface Chances {
  readonly active: ArrayLike<number>
  readonly inactive: ArrayLike<number>
  /** Faults that are taken wholly. */
  readonly taken: (x: number) => boolean
  readonly part: number
}

function chancesOf(problem: Problem, action: number, outcome: number): Chances {
  const work = problem.work[action % problem.tests]!
  if (work.kind === "look") {
    const n = problem.faults
    const killed = killedBy(problem, work, work.outcomes[outcome]!)
    return {
      active: work.active.subarray(outcome * n, (outcome + 1) * n),
      inactive: work.inactive.subarray(outcome * n, (outcome + 1) * n),
      taken: (x) => killed.has(x),
      part: -1,
    }
  }
  const gone = outcome === 0
  const { part, cures, seen } = work as Change
  return {
    active: seen.map((p) => (gone ? 1 - p : p)),
    inactive: seen.map(() => (gone ? 1 : 0)),
    taken: (x) => cures[problem.place[x]!]! > 0 || problem.place[x] === part,
    part,
  }
}

function fill(sides: Sides, at: number, chances: Chances, most: number): void {
  if (most <= 0) return
  for (let x = 0; x < chances.active.length; x++) {
    const taken = chances.taken(x)
    sides.active[at + x] = taken ? 1 : Math.max(0, 1 - chances.active[x]! / most)
    sides.inactive[at + x] = taken ? 1 : Math.max(0, 1 - chances.inactive[x]! / most)
  }
}

function largest(members: readonly number[], chances: ArrayLike<number>): number {
  return members.reduce((most, f) => Math.max(most, chances[f]!), 0)
}

export function indexesWhere(n: number, holds: (i: number) => boolean): number[] {
  return Array.from({ length: n }, (_, i) => i).filter(holds)
}

/** Faults that some rule may rule out with the help of these cells. */
function killedBy(problem: Problem, work: Look, row: readonly number[]): Set<number> {
  const evidence = new Int16Array(problem.readings).fill(-1)
  work.reads.forEach((r, k) => {
    evidence[r] = row[k]!
  })
  const killed = new Set<number>()
  for (const r of work.reads) {
    for (const i of problem.mentions[r]!.rules) {
      const rule = problem.rules[i]!
      if (evaluate(rule.condition, evidence) !== FALSE) for (const f of rule.out) killed.add(f)
    }
  }
  return killed
}

/** By fault: the rules that rule it out. */
export function rulesAgainst(problem: Problem): number[][] {
  const against: number[][] = Array.from({ length: problem.faults }, () => [])
  problem.rules.forEach((rule, i) => {
    for (const f of rule.out) against[f]!.push(i)
  })
  return against
}

/** By condition: the look tests that can help to make it true. */
export function helpersOf(
  problem: Problem,
  conditions: readonly Parameters<typeof readingsIn>[0][],
): number[][] {
  return conditions.map((condition) => {
    const reads = readingsIn(condition)
    return indexesWhere(problem.tests, (t) => problem.model.tests[t]!.reads.some((r) => reads.has(r)))
  })
}
