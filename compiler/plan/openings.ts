import type { Condition, Gate } from "../model/model.ts"
import { evaluate, TRUE } from "./condition.ts"
import type { Waiting } from "./job.ts"
import { has } from "./number-sets.ts"
import type { Problem } from "./problem.ts"

/** What must be done until a step may be: all of `steps`, and of each choice one of its options. */
interface Needs {
  readonly steps: ReadonlySet<number>
  readonly choices: readonly (readonly ReadonlySet<number>[])[]
}

/** What each step needs; by step. */
export type Opening = readonly Needs[]

const NOTHING: Needs = { steps: new Set(), choices: [] }

/**
 * What must be done before a step may be (`after`, `only if`), whatever is wrong: who knows the state isn't spared it.
 */
export class Openings {
  readonly #problem: Problem
  /** By test: its step. */
  readonly #stepOf = new Map<number, number>()
  /** By reading: the tests that take it. */
  readonly #taking: readonly (readonly number[])[]
  readonly #known = new Map<number, Opening>()

  constructor(problem: Problem) {
    const { model, steps } = problem
    this.#problem = problem
    for (const [index, { kind, test, leaveIn }] of steps.entries())
      if (test >= 0 && kind !== "putBack" && !leaveIn) this.#stepOf.set(test, index)
    this.#taking = model.readings.map((_, reading) =>
      [...model.tests.keys()].filter((test) => model.tests[test]!.reads.some((each) => each === reading)),
    )
  }

  of(waiting: Waiting): Opening {
    let found = this.#known.get(waiting.number)
    if (found === undefined) {
      const { model, steps } = this.#problem
      const byTest = model.tests.map((gate, test) => this.#before(gate, waiting, [test]))
      found = steps.map(({ test, gate }) =>
        gate === undefined ? NOTHING : test < 0 ? this.#before(gate, waiting, []) : byTest[test]!,
      )
      this.#known.set(waiting.number, found)
    }
    return found
  }

  isOpen({ steps, choices }: Needs): boolean {
    return steps.size === 0 && choices.length === 0
  }

  /** Money of what a step needs, at least; `isCounted`: which of the steps needed count. */
  cost({ steps, choices }: Needs, isCounted: (step: number) => boolean): number {
    const { steps: all, tryCost } = this.#problem
    const sum = (needed: ReadonlySet<number>, besides?: ReadonlySet<number>) => {
      let so = 0
      for (const step of needed)
        if (!besides?.has(step) && isCounted(step))
          so += all[step]!.cost + (all[step]!.tries > 0 ? tryCost : 0)
      return so
    }
    // Two choices may be met by the same step.
    const chosen = choices.map((options) => Math.min(...options.map((option) => sum(option, steps))))
    return sum(steps) + Math.max(0, ...chosen)
  }

  /** `inside`: tests that are asked about already. */
  #before({ after, afterAny, onlyIf }: Gate, waiting: Waiting, inside: readonly number[]): Needs {
    const isDone = (each: number) => has(waiting.before, each)
    const needs = after.filter((each) => !isDone(each)).map((each) => this.#with(each, waiting, inside))
    if (afterAny.length > 0 && !afterAny.some(isDone))
      needs.push(oneOf(afterAny.map((each) => this.#with(each, waiting, inside))))
    if (onlyIf) needs.push(this.#findings(onlyIf, false, waiting, inside))
    return allOf(needs)
  }

  #with(test: number, waiting: Waiting, within: readonly number[]): Needs {
    if (within.includes(test)) return NOTHING
    const { steps, choices } = this.#before(this.#problem.model.tests[test]!, waiting, [...within, test])
    return { steps: new Set([this.#stepOf.get(test)!, ...steps]), choices }
  }

  /** What a condition needs to be true, or false where `negated`. */
  #findings(c: Condition, negated: boolean, waiting: Waiting, within: readonly number[]): Needs {
    const value = evaluate(c, waiting.found)
    if ((negated ? TRUE - value : value) === TRUE) return NOTHING
    if (c.kind === "not") return this.#findings(c.item, !negated, waiting, within)
    if (c.kind === "in")
      return oneOf(this.#taking[c.reading]!.map((each) => this.#with(each, waiting, within)))
    const each = c.items.map((item) => this.#findings(item, negated, waiting, within))
    return (c.kind === "and") !== negated ? allOf(each) : oneOf(each)
  }
}

function allOf(needs: readonly Needs[]): Needs {
  if (needs.length < 2) return needs[0] ?? NOTHING
  return {
    steps: new Set(needs.flatMap(({ steps }) => [...steps])),
    choices: needs.flatMap(({ choices }) => choices),
  }
}

/** Choices within an option are let go. */
function oneOf(needs: readonly Needs[]): Needs {
  if (needs.length < 2) return needs[0] ?? NOTHING
  return { steps: NOTHING.steps, choices: [needs.map(({ steps }) => steps)] }
}
