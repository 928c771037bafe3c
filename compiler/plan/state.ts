import { evaluate, TRUE } from "./condition.ts"
import type { Change, Look, Problem } from "./problem.ts"
import { type Scratch, weighChange, weighLook } from "./weigh.ts"

/**
 * What is known at one moment of a job: the live hypotheses with their chances, what has been found, what has been used
 * and what is fitted. Only hypotheses with weight are kept, so states get cheaper the further a job has come.
 */
export interface State {
  /** Live hypotheses in ascending order; fault f uncured is f, cured is faults + f. */
  readonly ids: Uint16Array
  /** Their chances; the sum is 1. Empty: no listed fault fits. */
  readonly weights: Float64Array
  /** By reading: the cell found last, or -1. */
  readonly evidence: Int16Array
  /** By test: 1 where it has been used, or where using it could change nothing any more. */
  readonly used: Uint8Array
  /** Swap tests whose known-good part is in the machine now, ascending. */
  readonly fitted: readonly number[]
}

export const GONE = -1
export const STAYS = -2

export interface Outcome {
  /** Row of `Look.outcomes`, or GONE or STAYS. */
  readonly label: number
  readonly chance: number
  readonly state: State
}

/** The state of a machine just brought in: odds, less what rules say without any finding. */
export function startState(problem: Problem): State {
  const evidence = new Int16Array(problem.readings).fill(-1)
  const weights = Float64Array.from(problem.odds)
  for (const rule of problem.rules) {
    if (evaluate(rule.condition, evidence) === TRUE) for (const f of rule.out) weights[f] = 0
  }
  const total = weights.reduce((a, b) => a + b, 0)
  const ids = Uint16Array.from(weights.keys())
  return gather(ids, weights, total, { evidence, used: new Uint8Array(problem.tests), fitted: [] })
}

/** Keeps the hypotheses with weight, scaled to sum 1. */
function gather(
  ids: Uint16Array,
  weights: Float64Array,
  total: number,
  rest: Omit<State, "ids" | "weights">,
): State {
  let n = 0
  for (let k = 0; k < ids.length; k++) if (weights[k]! > 0) n++
  const kept = new Uint16Array(n)
  const scaled = new Float64Array(n)
  for (let k = 0, i = 0; k < ids.length; k++) {
    if (weights[k]! > 0) {
      kept[i] = ids[k]!
      scaled[i++] = weights[k]! / total
    }
  }
  return { ids: kept, weights: scaled, ...rest }
}

export function isFitted(problem: Problem, state: State, place: number): boolean {
  for (const t of state.fitted) if ((problem.work[t] as Change).part === place) return true
  return false
}

/** Whether an action may be done now; its usefulness is another matter. */
export function mayDo(problem: Problem, state: State, action: number): boolean {
  if (action >= problem.tests) return state.fitted.includes(action - problem.tests)
  if (state.used[action]) return false
  const test = problem.model.tests[action]!
  for (const t of test.after) if (!state.used[t]) return false
  if (test.part !== undefined && isFitted(problem, state, test.part)) return false
  return test.onlyIf === undefined || evaluate(test.onlyIf, state.evidence) === TRUE
}

/** Every action that may be done now, tests before put backs, in the order of declaration. */
export function actionsOf(problem: Problem, state: State): number[] {
  const actions: number[] = []
  for (let a = 0; a < problem.tests; a++) if (mayDo(problem, state, a)) actions.push(a)
  for (const t of state.fitted) actions.push(problem.tests + t)
  return actions
}

export function costOf(problem: Problem, action: number): number {
  return problem.work[action % problem.tests]!.cost
}

/** What is in the machine while the complaint is looked for: put back takes the part out, a swap puts one in. */
export function fittedDuring(problem: Problem, state: State, action: number): readonly number[] {
  const test = action % problem.tests
  if (action >= problem.tests) return state.fitted.filter((t) => t !== test)
  if ((problem.work[test] as Change).part < 0) return state.fitted
  return [...state.fitted, test].sort((a, b) => a - b)
}

/** Every outcome of an action that has a chance, with the state it leads to. */
export function outcomes(problem: Problem, state: State, action: number, scratch: Scratch): Outcome[] {
  const work = problem.work[action % problem.tests]!
  return work.kind === "look"
    ? look(problem, state, action, work, scratch)
    : change(problem, state, action, work, scratch)
}

function look(problem: Problem, state: State, action: number, work: Look, scratch: Scratch): Outcome[] {
  const used = withUsed(state.used, action)
  const found: { label: number; total: number; state: State }[] = []
  let sum = 0
  for (let o = 0; o < work.outcomes.length; o++) {
    const total = weighLook(problem, state, work, o, scratch)
    if (total <= 0) continue
    sum += total
    const evidence = state.evidence.slice()
    for (let k = 0; k < work.reads.length; k++) evidence[work.reads[k]!] = work.outcomes[o]![k]!
    const next = gather(state.ids, scratch.same, total, { evidence, used, fitted: state.fitted })
    found.push({ label: o, total, state: next })
  }
  return found.map((f) => ({ label: f.label, chance: f.total / sum, state: f.state }))
}

function change(problem: Problem, state: State, action: number, work: Change, scratch: Scratch): Outcome[] {
  const n = problem.faults
  const { evidence, ids } = state
  const fitted = fittedDuring(problem, state, action)
  const { gone, stays } = weighChange(problem, state, work, fitted, scratch)
  const putBack = action >= problem.tests
  const used = putBack ? state.used : withUsed(state.used, action)
  const found: Outcome[] = []
  if (gone > 0) {
    // Weight that was cured joins what was cured before.
    const dense = new Float64Array(2 * n)
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      dense[h]! += scratch.same[k]!
      if (h < n) dense[n + h]! += scratch.cured[k]!
    }
    const all = Uint16Array.from(dense.keys())
    found.push({
      label: GONE,
      chance: gone / (gone + stays),
      state: gather(all, dense, gone, { evidence, used, fitted }),
    })
  }
  if (stays > 0) {
    // The old part goes back where the complaint stays.
    const after = { evidence, used, fitted: putBack ? fitted : state.fitted }
    found.push({
      label: STAYS,
      chance: stays / (gone + stays),
      state: gather(ids, scratch.stays, stays, after),
    })
  }
  return found
}

function withUsed(used: Uint8Array, test: number): Uint8Array {
  const next = used.slice()
  next[test] = 1
  return next
}
