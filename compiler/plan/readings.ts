import { allOf, maskOf } from "./fault-states.ts"
import type { Problem } from "./problem.ts"

/** Distributions of the readings, by what is wrong. */
export interface Readings {
  /** Those of a state's faults that speak of a reading, as a mask. */
  speaking(reading: number, state: number): number
  /** Chances of the cells in a state of which these faults are active; of a told question all are. */
  distribution(reading: number, state: number, active: number): Float64Array
}

export function makeReadings(problem: Problem): Readings {
  const { states, speaks, model } = problem
  const base = model.readings.map(({ cells }) => {
    const sum = cells.reduce((so, { weight }) => so + weight, 0)
    return Float64Array.from(cells, ({ weight }) => weight / sum)
  })
  const unlisted = model.readings.map(({ healthy }, r) => mixed(healthy, base[r]!, 0.5))
  /** By reading, by state: of mixtures that have been asked for. */
  const known = model.readings.map(() => new Map<number, Float64Array>())

  const of = (reading: number, state: number, speaking: number): Float64Array => {
    const { healthy } = model.readings[reading]!
    const first = states.first[state]!
    if (first < 0) return unlisted[reading]!
    if (speaking === 0) return healthy
    const second = states.second[state]!
    if (speaking === 1) return model.faults[first]!.chances[reading]!
    if (speaking === 2) return model.faults[second]!.chances[reading]!
    return mixed(model.faults[first]!.chances[reading]!, model.faults[second]!.chances[reading]!, 0.5)
  }

  const remembered = (reading: number, state: number, make: () => Float64Array): Float64Array => {
    let found = known[reading]!.get(state)
    if (found === undefined) {
      found = make()
      known[reading]!.set(state, found)
    }
    return found
  }

  const speaking = (reading: number, state: number) => maskOf(states, state, speaks[reading]!)

  return {
    speaking,
    distribution(reading, state, active) {
      const { told, trust } = model.readings[reading]!
      const talking = speaking(reading, state) & (told ? allOf(states, state) : active)
      if (told) {
        return remembered(reading, state, () => mixed(of(reading, state, talking), base[reading]!, trust))
      }
      if (talking === 3) return remembered(reading, state, () => of(reading, state, 3))
      return of(reading, state, talking)
    },
  }
}

function mixed(one: Float64Array, other: Float64Array, share: number): Float64Array {
  return one.map((chance, i) => share * chance + (1 - share) * other[i]!)
}
