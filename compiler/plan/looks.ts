import type { Problem } from "./problem.ts"

/** A look for the complaint with some faults active. */
export interface Looks {
  /** Chance that one try doesn't show the complaint. */
  quiet(state: number, active: number): number
  /** Chance that none of so many tries shows it. */
  gone(state: number, active: number, tries: number): number
}

export function makeLooks({ states, quiet }: Problem): Looks {
  const ofOne = (state: number, active: number): number => {
    const first = states.first[state]!
    // Something not listed always shows the complaint.
    if (first < 0) return 0
    return ((active & 1) === 0 ? 1 : quiet[first]!) * ((active & 2) === 0 ? 1 : quiet[states.second[state]!]!)
  }
  return {
    quiet: ofOne,
    gone(state, active, tries) {
      const one = ofOne(state, active)
      return one === 1 || one === 0 ? (tries === 0 ? 1 : one) : one ** tries
    },
  }
}

/** Tries made on average by a look that ends with the first that shows the complaint. */
export function triesMade(quiet: number, tries: number): number {
  return quiet === 1 ? tries : (1 - quiet ** tries) / (1 - quiet)
}
