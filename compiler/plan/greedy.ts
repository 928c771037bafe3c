import type { Change, Look, Problem } from "./problem.ts"
import { makeScope, type Scope } from "./scope.ts"
import { actionsOf, costOf, type State } from "./state.ts"

/** What one step would bring: openness taken away per money. */
export interface Prospect {
  readonly action: number
  /** Bits per money. */
  readonly gain: number
  /** Entropy of its outcomes in bits: how far it makes the plan branch. */
  readonly spread: number
}

/** Gains below this, in bits, are rounding. */
const NOTHING = 1e-12

/**
 * The one-step rule that the search starts from and is measured against: every action that may be done, by the openness
 * (Shannon entropy over the remedies, in bits) that it takes away per money.
 *
 * An action is judged by the few suspects that it touches. All others keep their chances among each other, so what they
 * add to the entropy follows from one sum that is made once for the state: with m → h·m for all of them,
 * Σ φ(h·m) = h·Σ φ(m) + φ(h)·Σ m, where φ(m) = m log2 m.
 */
export function makeProspects(problem: Problem): (state: State) => Prospect[] {
  const scope = makeScope(problem)
  return (state) => {
    scope.enter(state)
    const now = -scope.all.phi
    const prospects: Prospect[] = []
    for (const action of actionsOf(problem, state)) {
      const work = problem.work[action % problem.tests]!
      scope.fresh()
      const after =
        work.kind === "look"
          ? afterLook(problem, scope, state, work)
          : afterChange(problem, scope, work, action >= problem.tests)
      const bits = now - after
      prospects.push({
        action,
        spread: Math.max(0, -scope.spread),
        gain: Math.abs(bits) < NOTHING ? 0 : bits / Math.max(costOf(problem, action), 1e-9),
      })
    }
    scope.leave(state)
    return prospects
  }
}

/** Expected openness after a look, in bits. */
function afterLook(problem: Problem, scope: Scope, state: State, work: Look): number {
  const { faults: n, place } = problem
  const { weight, all, replaced } = scope
  const touched = scope.liveAmong(work.touches)
  if (touched === 0 && !work.asked) return -all.phi
  let bits = 0
  let sum = 0
  for (let o = 0; o < work.outcomes.length; o++) {
    if (!scope.mask(state, work, o)) continue
    const h = work.healthy[o]!
    const row = o * n
    if (scope.only) {
      scope.begin(scope.none, 0)
      for (const f of scope.only) {
        if (scope.isOut(f)) continue
        const off = work.inactive[row + f]!
        if (weight[f]! > 0)
          scope.shift(place[f]!, weight[f]! * (replaced[place[f]!] ? off : work.active[row + f]!))
        if (weight[n + f]! > 0) scope.shift(scope.done, weight[n + f]! * off)
      }
      bits += scope.end()
      sum += scope.total
      continue
    }
    scope.begin(all, h)
    for (let i = 0; i < touched; i++) {
      const f = scope.touched[i]!
      if (scope.isOut(f)) continue
      const g = place[f]!
      const w = weight[f]!
      const cured = weight[n + f]!
      if (w > 0) scope.shift(g, w * ((replaced[g] ? work.inactive[row + f]! : work.active[row + f]!) - h))
      if (cured > 0) scope.shift(scope.done, cured * (work.inactive[row + f]! - h))
    }
    for (const f of scope.out) {
      if (weight[f]! > 0) scope.shift(place[f]!, -h * weight[f]!)
      if (weight[n + f]! > 0) scope.shift(scope.done, -h * weight[n + f]!)
    }
    bits += scope.end()
    sum += scope.total
  }
  return sum > 0 ? bits / sum : Number.POSITIVE_INFINITY
}

/** Expected openness after a swap, a redoing or a put back, in bits. */
function afterChange(problem: Problem, scope: Scope, work: Change, putBack: boolean): number {
  const { weight, replaced } = scope
  const { gone, stays } = scope.lookedFor(work)
  let bits = 0
  let sum = 0
  for (const side of [gone, stays]) {
    scope.begin(side, 1)
    for (const g of work.touches) {
      const cures = work.cures[g]!
      const isIn = g === work.part ? !putBack : replaced[g] === 1
      let mass = 0
      for (const f of problem.members[g]!) {
        if (weight[f]! === 0) continue
        const seen = isIn ? 0 : work.seen[f]!
        mass += weight[f]! * (1 - cures) * (side === gone ? 1 - seen : seen)
        if (side === gone && cures > 0) scope.shift(scope.done, weight[f]! * cures)
      }
      scope.shift(g, mass - side.mass[g]!)
    }
    bits += scope.end()
    sum += scope.total
  }
  return sum > 0 ? bits / sum : Number.POSITIVE_INFINITY
}

/**
 * The best prospect that gains anything and costs less than `limit`; the earlier one where two are equal. `branching`:
 * money that each bit of branching counts for besides.
 */
export function best(
  problem: Problem,
  prospects: readonly Prospect[],
  limit: number,
  branching = 0,
): Prospect | undefined {
  let found: Prospect | undefined
  let most = 1e-12
  for (const p of prospects) {
    const cost = Math.max(costOf(problem, p.action), 1e-9)
    const worth = (p.gain * cost) / (cost + branching * p.spread)
    if (worth > most && cost < limit) {
      found = p
      most = worth + 1e-12
    }
  }
  return found
}
