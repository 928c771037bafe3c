import type { Model } from "../model/model.ts"

/**
 * What can be wrong with a machine that comes in: one listed fault, two, or something not listed. A subset of a state's
 * faults is a mask of two bits, 1 for `first` and 2 for `second`.
 */
export interface FaultStates {
  readonly count: number
  /** By state: its first fault, -1 for something not listed. */
  readonly first: Int32Array
  /** By state: its second fault, -1 where there is none. */
  readonly second: Int32Array
  /** By state: its chance before anything is known. */
  readonly prior: Float64Array
}

/** All states of a chance above 0, one fault first, then two, then not listed (the reference's formulas.md, "States and hypotheses"). */
export function makeFaultStates(model: Model): FaultStates {
  const odds = model.faults.map((fault) => fault.odds)
  const { unlisted } = model.ruleset
  const second = odds.length < 2 ? 0 : model.ruleset.second
  const list: [first: number, second: number, chance: number][] = []
  const sum = odds.reduce((so, each) => so + each, 0)
  odds.forEach((each, f) => {
    list.push([f, -1, ((1 - second - unlisted) * each) / sum])
  })
  let pairs = 0
  for (let f = 0; f < odds.length; f++) for (let g = f + 1; g < odds.length; g++) pairs += odds[f]! * odds[g]!
  for (let f = 0; f < odds.length; f++)
    for (let g = f + 1; g < odds.length; g++) list.push([f, g, (second * odds[f]! * odds[g]!) / pairs])
  list.push([-1, -1, unlisted])
  return statesOf(list.filter(([, , chance]) => chance > 0))
}

export function statesOf(list: readonly (readonly [number, number, number])[]): FaultStates {
  return {
    count: list.length,
    first: Int32Array.from(list, ([first]) => first),
    second: Int32Array.from(list, ([, second]) => second),
    prior: Float64Array.from(list, ([, , chance]) => chance),
  }
}

/** The faults of a state that are neither cured nor in a part that is out of the machine, as a mask. */
export function activeOf(states: FaultStates, state: number, cured: number, out: Uint8Array): number {
  const first = states.first[state]!
  if (first < 0) return 0
  const second = states.second[state]!
  let active = 0
  if ((cured & 1) === 0 && out[first] === 0) active = 1
  if (second >= 0 && (cured & 2) === 0 && out[second] === 0) active |= 2
  return active
}

/** Those of a state's faults of which a flag is set, as a mask. */
export function maskOf(states: FaultStates, state: number, flags: Uint8Array): number {
  const first = states.first[state]!
  const second = states.second[state]!
  return (first >= 0 && flags[first] === 1 ? 1 : 0) | (second >= 0 && flags[second] === 1 ? 2 : 0)
}

/** All faults of a state as a mask. */
export function allOf(states: FaultStates, state: number): number {
  return states.first[state]! < 0 ? 0 : states.second[state]! < 0 ? 1 : 3
}
