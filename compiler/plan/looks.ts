import type { Problem } from "./problem.ts"

/** A look for the complaint with some faults active. */
export interface Looks {
  /** Chance that one try doesn't show the complaint. */
  quiet(state: number, active: number): number
  /** Chance that none of so many tries shows it. */
  gone(state: number, active: number, tries: number): number
  /** By fault: the same where it alone is active. */
  goneBy(tries: number): Float64Array
}

export function makeLooks({ states, quiet }: Problem): Looks {
  /** By number of tries, by fault. */
  const known: Float64Array[] = []
  const goneBy = (tries: number): Float64Array => {
    let found = known[tries]
    if (found === undefined) {
      found = quiet.map((one) => one ** tries)
      known[tries] = found
    }
    return found
  }
  const gone = (state: number, active: number, tries: number): number => {
    const first = states.first[state]!
    // Something not listed always shows the complaint.
    if (first < 0) return tries === 0 ? 1 : 0
    if (active === 0) return 1
    const by = goneBy(tries)
    return ((active & 1) === 0 ? 1 : by[first]!) * ((active & 2) === 0 ? 1 : by[states.second[state]!]!)
  }
  return { quiet: (state, active) => gone(state, active, 1), gone, goneBy }
}

/** Tries made on average by a look that ends with the first that shows the complaint; `gone`: the chance that none does. */
export function triesMade(quiet: number, tries: number, gone: number = quiet ** tries): number {
  return quiet === 1 ? tries : (1 - gone) / (1 - quiet)
}
