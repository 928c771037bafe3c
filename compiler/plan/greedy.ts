import type { Problem } from "./problem.ts"
import { costOf, mayDo, type Outcome, outcomes, type State } from "./state.ts"
import { remedyChances } from "./stop.ts"

/** Every action that may be done now, tests before put backs, in the order of declaration. */
export function actionsOf(problem: Problem, state: State): number[] {
  const actions: number[] = []
  for (let a = 0; a < problem.tests; a++) if (mayDo(problem, state, a)) actions.push(a)
  for (const t of state.fitted) actions.push(problem.tests + t)
  return actions
}

/** An action that changes nothing for certain: one outcome, the same chances after it, and no way opened by it. */
export function isIdle(problem: Problem, state: State, action: number, found: readonly Outcome[]): boolean {
  if (found.length !== 1) return false
  const next = found[0]!.state
  const work = problem.work[action % problem.tests]!
  if (
    work.kind === "look" &&
    work.reads.some((r) => state.evidence[r] !== next.evidence[r] && isAsked(problem, r))
  ) {
    return false
  }
  const opens = problem.model.tests.some((t, i) => !state.used[i] && t.after.includes(action))
  return (
    !opens &&
    next.ids.length === state.ids.length &&
    next.fitted.length === state.fitted.length &&
    next.ids.every((h, k) => h === state.ids[k] && Math.abs(next.weights[k]! - state.weights[k]!) < 1e-13)
  )
}

/** Whether some condition speaks of a reading. */
function isAsked(problem: Problem, reading: number): boolean {
  const { rules, nevers, tests } = problem.mentions[reading]!
  return rules.length + nevers.length + tests.length > 0
}

let scratch = new Float64Array(0)

/** Shannon entropy over the remedies, in bits: what is still open about what to do. */
export function openness(problem: Problem, state: State): number {
  const size = problem.price.length + 1
  if (scratch.length !== size) scratch = new Float64Array(size)
  const mass = remedyChances(problem, state, scratch)
  let bits = 0
  for (const p of mass) if (p > 0) bits -= p * Math.log2(p)
  return Math.max(0, bits)
}

/** Openness taken away per money: the one-step rule that the search starts from and is measured against. */
export function gainPerCost(
  problem: Problem,
  action: number,
  found: readonly Outcome[],
  open: number,
): number {
  let left = 0
  for (const o of found) left += o.chance * openness(problem, o.state)
  return (open - left) / Math.max(costOf(problem, action), 1e-9)
}

/** The action that the base policy takes; undefined where nothing that may be done says anything. */
export function greedyAction(
  problem: Problem,
  state: State,
): { action: number; found: Outcome[] } | undefined {
  const open = openness(problem, state)
  let best: { action: number; found: Outcome[] } | undefined
  let bestGain = 0
  for (const action of actionsOf(problem, state)) {
    const found = outcomes(problem, state, action)
    if (found.length === 0) continue
    const gain = gainPerCost(problem, action, found, open)
    if (gain > bestGain + 1e-12) {
      best = { action, found }
      bestGain = gain
    }
  }
  return best
}
