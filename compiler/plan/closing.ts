import type { Problem } from "./problem.ts"

/** What a proof run expects of a reading. */
export interface Expects {
  readonly reading: number
  readonly cells: readonly boolean[]
}

/** The proof run of the proofs that count. */
export interface Closing {
  readonly cost: number
  readonly minutes: number
  /** Tries of the complaint, all proofs together. */
  readonly tries: number
  /** Readings that must be in these cells, each once. */
  readonly expects: readonly Expects[]
}

/** The proof run of a set of proofs. */
export function closingOf(problem: Problem, counting: readonly number[]): Closing {
  const { ruleset, proofs, readings } = problem.model
  const counted = counting.map((i) => proofs[i]!)
  const minutes = counted.reduce((sum, proof) => sum + proof.times * proof.minutes, 0)
  return {
    cost: (minutes * ruleset.bench) / 60,
    minutes,
    tries: counted.reduce((sum, { times }) => sum + times, 0),
    expects: readings.flatMap((_, reading) => {
      const wanted = counted.flatMap(({ expects }) => (expects?.reading === reading ? [expects.cells] : []))
      if (wanted.length === 0) return []
      return [{ reading, cells: wanted[0]!.map((_, cell) => wanted.every((cells) => cells[cell])) }]
    }),
  }
}

/** The proofs that count once a step has touched these places, in rising order. */
export function countingAfter(
  { model: { proofs } }: Problem,
  counting: readonly number[],
  touches: readonly number[],
): readonly number[] {
  if (counting.length === proofs.length || touches.length === 0) return counting
  return [...proofs.keys()].filter(
    (i) => counting.includes(i) || proofs[i]!.places.some((place) => touches.includes(place)),
  )
}

/** Chance that a reading of such a distribution is in one of these cells. */
export function chanceWithin(cells: readonly boolean[], chances: Float64Array): number {
  return chances.reduce((sum, chance, cell) => (cells[cell] ? sum + chance : sum), 0)
}
