import { allOf, maskOf } from "./fault-states.ts"
import type { Memories } from "./memory.ts"
import type { Elimination, Problem } from "./problem.ts"

/** What rules and nevers do to a hypothesis. */
export interface Verdict {
  /** What rules leave of it. */
  left: number
  /** A never takes the rest. */
  isForbidden: boolean
  /** Its memory after that. */
  memory: number
  /** Rules that took something. */
  rules: number[]
}

/** Rules and nevers at work after an action (the reference's formulas.md, "Rules and nevers"). */
export class Eliminations {
  readonly verdict: Verdict = { left: 1, isForbidden: false, memory: 0, rules: [] }
  readonly #problem: Problem
  readonly #memories: Memories

  constructor(problem: Problem, memories: Memories) {
    this.#problem = problem
    this.#memories = memories
  }

  /** Judges a hypothesis of which these faults are active; false where nothing acts on it, else fills `verdict`. */
  judge(state: number, active: number, memory: number): boolean {
    const { verdict } = this
    const { rules, isForbidden } = this.#memories.standing(memory, active)
    if (rules.length === 0 && !isForbidden) return false
    verdict.left = 1
    verdict.isForbidden = isForbidden
    verdict.memory = memory
    if (verdict.rules.length > 0) verdict.rules = []
    for (const rule of rules) this.#apply(rule, state, active)
    return true
  }

  #apply(index: number, state: number, active: number): void {
    const { rules } = this.#problem
    const { verdict } = this
    const memories = this.#memories
    const rule = rules[index]!
    if (!actsOn(this.#problem, rule, state, active) || memories.hasActed(verdict.memory, index)) return
    verdict.left *= 1 - rule.chance
    verdict.rules.push(index)
    if (rule.chance < 1) verdict.memory = memories.act(verdict.memory, index)
  }
}

/** Whether a rule acts, where it is true, on a hypothesis of which these faults are active. */
export function actsOn({ states }: Problem, rule: Elimination, state: number, active: number): boolean {
  const counting = rule.toldOnly ? allOf(states, state) : active
  const isUnlisted = states.first[state]! < 0
  if (counting === 0 && !isUnlisted) return false
  const isNamed = (maskOf(states, state, rule.names) & counting) !== 0
  return isNamed !== rule.leavesOnly
}
