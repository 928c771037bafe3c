import { evaluate, TRUE } from "./condition.ts"
import type { Change, Look, Problem } from "./problem.ts"

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

const NOTHING: readonly number[] = []

/** The state of a machine just brought in: odds, less what rules say without any finding. */
export function startState(problem: Problem): State {
  const evidence = new Int16Array(problem.readings).fill(-1)
  const weights = Float64Array.from(problem.odds)
  for (const rule of problem.rules) {
    if (evaluate(rule.condition, evidence) === TRUE) for (const f of rule.out) weights[f] = 0
  }
  const total = weights.reduce((a, b) => a + b, 0)
  return live(weights, total, { evidence, used: new Uint8Array(problem.tests), fitted: NOTHING })
}

/** Gathers the hypotheses with weight, scaled to sum 1. */
function live(dense: Float64Array, total: number, rest: Omit<State, "ids" | "weights">): State {
  let n = 0
  for (let h = 0; h < dense.length; h++) if (dense[h]! > 0) n++
  const ids = new Uint16Array(n)
  const weights = new Float64Array(n)
  for (let h = 0, k = 0; h < dense.length; h++) {
    if (dense[h]! > 0) {
      ids[k] = h
      weights[k++] = dense[h]! / total
    }
  }
  return { ids, weights, ...rest }
}

export function isFitted(problem: Problem, state: State, place: number): boolean {
  for (const t of state.fitted) if ((problem.work[t] as Change).part === place) return true
  return false
}

/** Whether a hypothesis shows its fault now: uncured, and its place not replaced by a known-good part. */
export function isActive(problem: Problem, state: State, h: number): boolean {
  return h < problem.faults && !(state.fitted.length > 0 && isFitted(problem, state, problem.place[h]!))
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

export function costOf(problem: Problem, action: number): number {
  return problem.work[action % problem.tests]!.cost
}

/** Every outcome of an action that has a chance, with the state it leads to. */
export function outcomes(problem: Problem, state: State, action: number): Outcome[] {
  const work = problem.work[action % problem.tests]!
  if (work.kind === "look") return look(problem, state, action, work)
  return change(problem, state, action, work)
}

/** Scratch for `look` and `change`: unscaled weights by hypothesis. */
let dense = new Float64Array(0)

function scratch(size: number): Float64Array {
  if (dense.length !== size) dense = new Float64Array(size)
  else dense.fill(0)
  return dense
}

function look(problem: Problem, state: State, action: number, work: Look): Outcome[] {
  const { ids, weights } = state
  const n = problem.faults
  const used = markUsed(state.used, action)
  const found: { label: number; total: number; state: State }[] = []
  let sum = 0
  for (let o = 0; o < work.outcomes.length; o++) {
    const row = o * n
    let total = 0
    const w = scratch(2 * n)
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      const p = isActive(problem, state, h)
        ? work.active[row + h]!
        : work.inactive[row + (h < n ? h : h - n)]!
      if (p === 0) continue
      w[h] = weights[k]! * p
      total += w[h]!
    }
    if (total === 0) continue
    const evidence = state.evidence.slice()
    work.reads.forEach((r, k) => {
      evidence[r] = work.outcomes[o]![k]!
    })
    total = mask(problem, work.reads, evidence, w, total)
    if (total <= 0) continue
    sum += total
    found.push({ label: o, total, state: live(w, total, { evidence, used, fitted: state.fitted }) })
  }
  return found.map((f) => ({ label: f.label, chance: f.total / sum, state: f.state }))
}

/** Applies nevers and rules that mention the readings just found; returns the weight that is left. */
function mask(
  problem: Problem,
  reads: readonly number[],
  evidence: Int16Array,
  w: Float64Array,
  total: number,
): number {
  const n = problem.faults
  let changed = false
  for (const r of reads) {
    for (const i of problem.mentions[r]!.nevers) if (evaluate(problem.nevers[i]!, evidence) === TRUE) return 0
    for (const i of problem.mentions[r]!.rules) {
      const rule = problem.rules[i]!
      if (evaluate(rule.condition, evidence) !== TRUE) continue
      for (const f of rule.out) {
        if (w[f] !== 0 || w[n + f] !== 0) {
          w[f] = 0
          w[n + f] = 0
          changed = true
        }
      }
    }
  }
  if (!changed) return total
  let left = 0
  for (let h = 0; h < 2 * n; h++) left += w[h]!
  return left
}

function change(problem: Problem, state: State, action: number, work: Change): Outcome[] {
  const { ids, weights } = state
  const n = problem.faults
  const putBack = action >= problem.tests
  const test = action % problem.tests
  const gone = scratch(2 * n)
  const stays = new Float64Array(2 * n)
  let totalGone = 0
  let totalStays = 0
  // While looking for the complaint the swapped part is known-good; after putting back it is the old one again.
  const fittedNow = putBack ? state.fitted.filter((t) => t !== test) : withTest(state.fitted, test, work.part)
  const during: State = { ...state, fitted: fittedNow }
  for (let k = 0; k < ids.length; k++) {
    const h = ids[k]!
    if (h >= n) {
      gone[h]! += weights[k]!
      continue
    }
    const cured = weights[k]! * work.cures[problem.place[h]!]!
    const rest = weights[k]! - cured
    if (cured > 0) gone[n + h]! += cured
    if (rest <= 0) continue
    const seen = isActive(problem, during, h) ? work.seen[h]! : 0
    gone[h]! += rest * (1 - seen)
    stays[h]! += rest * seen
  }
  for (let h = 0; h < 2 * n; h++) {
    totalGone += gone[h]!
    totalStays += stays[h]!
  }
  const used = putBack ? state.used : markUsed(state.used, test)
  const sum = totalGone + totalStays
  const found: Outcome[] = []
  if (totalGone > 0) {
    const after = { evidence: state.evidence, used, fitted: fittedNow }
    found.push({ label: GONE, chance: totalGone / sum, state: live(gone, totalGone, after) })
  }
  if (totalStays > 0) {
    const after = { evidence: state.evidence, used, fitted: putBack ? fittedNow : state.fitted }
    found.push({ label: STAYS, chance: totalStays / sum, state: live(stays, totalStays, after) })
  }
  return found
}

function withTest(fitted: readonly number[], test: number, part: number): readonly number[] {
  if (part < 0) return fitted
  return [...fitted, test].sort((a, b) => a - b)
}

function markUsed(used: Uint8Array, test: number): Uint8Array {
  const next = used.slice()
  next[test] = 1
  return next
}
