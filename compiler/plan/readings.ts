import { floatAt, intAt, itemAt } from "../run/lookup.ts"
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
  const unlisted = model.readings.map(({ healthy }, r) => mixed(healthy, itemAt(base, r), 0.5))
  /** By reading, by state: of mixtures that have been asked for. */
  const known = model.readings.map(() => new Map<number, Float64Array>())

  const shownBy = (fault: number, reading: number): Float64Array =>
    itemAt(model.faults, fault).chances[reading] ?? itemAt(model.readings, reading).healthy

  const of = (reading: number, state: number, speaking: number): Float64Array => {
    const { healthy } = itemAt(model.readings, reading)
    const first = intAt(states.first, state)
    if (first < 0) return itemAt(unlisted, reading)
    if (speaking === 0) return healthy
    if (speaking === 1) return shownBy(first, reading)
    const second = intAt(states.second, state)
    return speaking === 2
      ? shownBy(second, reading)
      : mixed(shownBy(first, reading), shownBy(second, reading), 0.5)
  }

  const remembered = (reading: number, state: number, make: () => Float64Array): Float64Array => {
    let found = itemAt(known, reading).get(state)
    if (found === undefined) {
      found = make()
      itemAt(known, reading).set(state, found)
    }
    return found
  }

  const speaking = (reading: number, state: number) => maskOf(states, state, itemAt(speaks, reading))

  return {
    speaking,
    distribution(reading, state, active) {
      const { told, trust } = itemAt(model.readings, reading)
      const talking = speaking(reading, state) & (told ? allOf(states, state) : active)
      if (told) {
        return remembered(reading, state, () =>
          mixed(of(reading, state, talking), itemAt(base, reading), trust),
        )
      }
      if (talking === 3) return remembered(reading, state, () => of(reading, state, 3))
      return of(reading, state, talking)
    },
  }
}

function mixed(one: Float64Array, other: Float64Array, share: number): Float64Array {
  return one.map((chance, i) => share * chance + (1 - share) * floatAt(other, i))
}
