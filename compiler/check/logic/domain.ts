import type { Solver } from "./solver.ts"

/** A solver's variable has at most 31 values; one fewer keeps masks small integers in every engine. */
const WIDEST = 30

/**
 * Values 0 to `size` − 1 of one thing, however many. Beyond 30 they are dealt out to several variables whose value 0
 * means "in another one of us", so that "is in this set" stays a plain disjunction of literals.
 */
export class Domain<V extends number = number> {
  readonly size: number
  readonly variables: readonly number[]
  readonly #solver: Solver

  constructor(solver: Solver, size: number) {
    this.#solver = solver
    this.size = size
    if (size <= WIDEST) {
      this.variables = [solver.variable(size)]
      return
    }
    const variables: number[] = []
    for (let at = 0; at < size; at += WIDEST - 1) {
      variables.push(solver.variable(Math.min(WIDEST, size - at + 1)))
    }
    this.variables = variables
    solver.add(variables.flatMap((v) => [v, ~1 & 0x7fffffff]))
    for (const [i, v] of variables.entries()) for (const w of variables.slice(i + 1)) solver.add([v, 1, w, 1])
  }

  /** Literals of which one holds exactly when the value is in `accepts`. */
  literals(accepts: (value: V) => boolean): number[] {
    const [only, ...others] = this.variables
    if (only !== undefined && others.length === 0) {
      let mask = 0
      for (let i = 0; i < this.size; i++) if (accepts(i as V)) mask |= 1 << i
      return mask === 0 ? [] : [only, mask]
    }
    const literals: number[] = []
    for (const [chunk, v] of this.variables.entries()) {
      let mask = 0
      const from = chunk * (WIDEST - 1)
      for (let i = 0; i < WIDEST - 1 && from + i < this.size; i++)
        if (accepts((from + i) as V)) mask |= 2 << i
      if (mask !== 0) literals.push(v, mask)
    }
    return literals
  }

  /** The value in the assignment that the solver found; the variables must have been decided. */
  value(): V {
    return this.#decided() as V
  }

  #decided(): number {
    const [only, ...others] = this.variables
    if (only !== undefined && others.length === 0) return lowest(this.#solver.mask(only))
    for (const [chunk, v] of this.variables.entries()) {
      const bit = lowest(this.#solver.mask(v))
      if (bit > 0) return chunk * (WIDEST - 1) + bit - 1
    }
    return 0
  }
}

function lowest(mask: number): number {
  return 31 - Math.clz32(mask & -mask)
}
