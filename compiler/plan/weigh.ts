import { evaluate, TRUE } from "./condition.ts"
import type { Change, Look, Problem } from "./problem.ts"
import type { State } from "./state.ts"

/**
 * Weights of outcomes, before any state is made of them: the innermost loop of the planner. All results go to scratch
 * arrays that stand beside `state.ids`, entry for entry, so that an action can be judged without allocating anything.
 */
export interface Scratch {
  /** Look: weight under this outcome. Change: weight of the same hypothesis after `gone`. */
  readonly same: Float64Array
  /** Change: weight that is cured by the redoing; after `gone` it belongs to the cured twin. */
  readonly cured: Float64Array
  /** Change: weight after `stays`. */
  readonly stays: Float64Array
  readonly evidence: Int16Array
  /** By hypothesis: position in `state.ids`, where `owner` says that it is of this state. */
  readonly position: Int32Array
  owner: Uint16Array | undefined
}

export function makeScratch(problem: Problem): Scratch {
  const size = 2 * problem.faults
  return {
    same: new Float64Array(size),
    cured: new Float64Array(size),
    stays: new Float64Array(size),
    evidence: new Int16Array(problem.readings),
    position: new Int32Array(size),
    owner: undefined,
  }
}

/** Weights of one outcome of a look into `scratch.same`, rules and nevers applied; returns their sum. */
export function weighLook(
  problem: Problem,
  state: State,
  work: Look,
  outcome: number,
  scratch: Scratch,
): number {
  const { ids, weights, fitted } = state
  const { same } = scratch
  const n = problem.faults
  const row = outcome * n
  let total = 0
  for (let k = 0; k < ids.length; k++) {
    const h = ids[k]!
    const off = h >= n || (fitted.length > 0 && isReplaced(problem, fitted, problem.place[h]!))
    const w = weights[k]! * (off ? work.inactive[row + (h < n ? h : h - n)]! : work.active[row + h]!)
    same[k] = w
    total += w
  }
  if (total <= 0 || !work.asked) return total
  return mask(problem, state, work, outcome, total, scratch)
}

function mask(
  problem: Problem,
  state: State,
  work: Look,
  outcome: number,
  total: number,
  scratch: Scratch,
): number {
  const { evidence, same, position } = scratch
  const n = problem.faults
  const cells = work.outcomes[outcome]!
  evidence.set(state.evidence)
  for (let i = 0; i < work.reads.length; i++) evidence[work.reads[i]!] = cells[i]!
  if (scratch.owner !== state.ids) {
    position.fill(-1)
    for (let k = 0; k < state.ids.length; k++) position[state.ids[k]!] = k
    scratch.owner = state.ids
  }
  let changed = false
  for (const r of work.reads) {
    const { rules, nevers } = problem.mentions[r]!
    for (const i of nevers) if (evaluate(problem.nevers[i]!, evidence) === TRUE) return 0
    for (const i of rules) {
      const { condition, out } = problem.rules[i]!
      if (evaluate(condition, evidence) !== TRUE) continue
      for (const f of out) {
        for (const k of [position[f]!, position[n + f]!]) {
          if (k >= 0 && same[k] !== 0) {
            same[k] = 0
            changed = true
          }
        }
      }
    }
  }
  if (!changed) return total
  let left = 0
  for (let k = 0; k < state.ids.length; k++) left += same[k]!
  return left
}

/** Weights after a swap, a redoing or a put back; `fitted` is what is in the machine while the complaint is looked for. */
export function weighChange(
  problem: Problem,
  state: State,
  work: Change,
  fitted: readonly number[],
  scratch: Scratch,
): { gone: number; stays: number } {
  const { ids, weights } = state
  const n = problem.faults
  let gone = 0
  let stays = 0
  for (let k = 0; k < ids.length; k++) {
    const h = ids[k]!
    if (h >= n) {
      scratch.same[k] = weights[k]!
      scratch.cured[k] = 0
      scratch.stays[k] = 0
      gone += weights[k]!
      continue
    }
    const place = problem.place[h]!
    const cured = weights[k]! * work.cures[place]!
    const rest = weights[k]! - cured
    const seen = fitted.length > 0 && isReplaced(problem, fitted, place) ? 0 : work.seen[h]!
    scratch.cured[k] = cured
    scratch.same[k] = rest * (1 - seen)
    scratch.stays[k] = rest * seen
    gone += cured + rest * (1 - seen)
    stays += rest * seen
  }
  return { gone, stays }
}

function isReplaced(problem: Problem, fitted: readonly number[], place: number): boolean {
  for (const t of fitted) if ((problem.work[t] as Change).part === place) return true
  return false
}
