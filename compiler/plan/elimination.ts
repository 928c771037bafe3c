import { evaluate, FALSE } from "./condition.ts"
import { type Change, type Look, type Problem, readingsIn } from "./problem.ts"

/**
 * How much of a fault's weight one action can take away at most, measured against a remedy that is to be believed.
 *
 * For an action a, a place g and a fault x outside g: over the outcomes that some fault in g can give, the least ratio
 * P(outcome | x) / max over f in g of P(outcome | f); one minus this ratio is the **elimination** of x by a for g.
 * Whatever else is done, the weight of x against that of g falls at most by the product of the ratios of the actions
 * taken. Two tables, for x active and inactive now. An action that can turn x from one to the other (a redoing of its
 * setup, a swap or a put back of its part) counts as taking all of it, which keeps the product a bound.
 */
export interface Eliminations {
  /** Actions: tests, then put backs of the swap tests. `[(action × places + g) × faults + x]`. */
  readonly active: Float64Array
  readonly inactive: Float64Array
}

/** Larger tables than this are not worth their memory; the bound does without. */
const MOST_ENTRIES = 6_000_000

export function makeEliminations(problem: Problem): Eliminations | undefined {
  const places = problem.price.length
  const entries = 2 * problem.tests * places * problem.faults
  if (entries > MOST_ENTRIES) return undefined
  const active = new Float64Array(entries)
  const inactive = new Float64Array(entries)
  const members = problem.model.places.map((_, g) =>
    indexesWhere(problem.faults, (f) => problem.place[f] === g),
  )
  const swappable = problem.model.places.map((_, g) =>
    problem.work.some((w) => w.kind === "change" && w.part === g),
  )
  for (let test = 0; test < problem.tests; test++) {
    const work = problem.work[test]!
    for (let g = 0; g < places; g++) {
      if (members[g]!.length === 0) continue
      if (work.kind === "look") {
        fillLook(problem, { active, inactive }, work, test, g, members[g]!, swappable[g]!)
      } else {
        fillChange(problem, { active, inactive }, work, test, g, members[g]!, swappable[g]!)
        if (work.part >= 0) {
          fillChange(problem, { active, inactive }, work, problem.tests + test, g, members[g]!, swappable[g]!)
        }
      }
    }
  }
  return { active, inactive }
}

function indexesWhere(n: number, holds: (i: number) => boolean): number[] {
  return Array.from({ length: n }, (_, i) => i).filter(holds)
}

function fillLook(
  problem: Problem,
  tables: Eliminations,
  work: Look,
  action: number,
  g: number,
  members: readonly number[],
  swappable: boolean,
): void {
  const n = problem.faults
  const at = (action * problem.price.length + g) * n
  const leastActive = new Float64Array(n).fill(1)
  const leastInactive = new Float64Array(n).fill(1)
  work.outcomes.forEach((row, o) => {
    let most = 0
    for (const f of members) {
      most = Math.max(most, work.active[o * n + f]!, swappable ? work.inactive[o * n + f]! : 0)
    }
    if (most === 0) return
    const killed = killedBy(problem, work, row)
    for (let x = 0; x < n; x++) {
      leastActive[x] = Math.min(leastActive[x]!, killed.has(x) ? 0 : work.active[o * n + x]! / most)
      leastInactive[x] = Math.min(leastInactive[x]!, killed.has(x) ? 0 : work.inactive[o * n + x]! / most)
    }
  })
  for (let x = 0; x < n; x++) {
    tables.active[at + x] = 1 - leastActive[x]!
    tables.inactive[at + x] = 1 - leastInactive[x]!
  }
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

function fillChange(
  problem: Problem,
  tables: Eliminations,
  work: Change,
  action: number,
  g: number,
  members: readonly number[],
  swappable: boolean,
): void {
  const n = problem.faults
  const at = (action * problem.price.length + g) * n
  let mostStays = 0
  let mostGone = swappable ? 1 : 0
  for (const f of members) {
    mostStays = Math.max(mostStays, work.seen[f]!)
    mostGone = Math.max(mostGone, 1 - work.seen[f]!)
  }
  // While its own part is fitted, nothing of g can make the complaint stay.
  if (work.part === g && action < problem.tests) mostStays = 0
  const least = (gone: number, stays: number) =>
    Math.min(1, mostGone > 0 ? gone / mostGone : 1, mostStays > 0 ? stays / mostStays : 1)
  for (let x = 0; x < n; x++) {
    const place = problem.place[x]!
    const turns = work.cures[place]! > 0 || place === work.part
    tables.active[at + x] = turns ? 1 : 1 - least(1 - work.seen[x]!, work.seen[x]!)
    tables.inactive[at + x] = turns && place === work.part ? 1 : 1 - least(1, 0)
  }
}

/** By fault: the rules that rule it out. */
export function rulesAgainst(problem: Problem): number[][] {
  const against: number[][] = Array.from({ length: problem.faults }, () => [])
  problem.rules.forEach((rule, i) => {
    for (const f of rule.out) against[f]!.push(i)
  })
  return against
}

/** By rule: the look tests that can help to make it true. */
export function helpersOf(problem: Problem): number[][] {
  return problem.rules.map((rule) => {
    const reads = readingsIn(rule.condition)
    return indexesWhere(problem.tests, (t) => problem.model.tests[t]!.reads.some((r) => reads.has(r)))
  })
}
