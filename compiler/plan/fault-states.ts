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
  /** Chance of the pairs that aren't among them. */
  readonly leftOut: number
}

/** All states of a chance above 0, one fault first, then two, then not listed (the reference's formulas.md, "States and hypotheses"). */
export function makeFaultStates(model: Model): FaultStates {
  const odds = model.faults.map((fault) => fault.odds)
  const { unlisted } = model.ruleset
  const second = odds.length < 2 ? 0 : model.ruleset.second
  const list = new StateList((odds.length * (odds.length + 1)) / 2 + 1)
  const sum = odds.reduce((so, each) => so + each, 0)
  odds.forEach((each, f) => {
    list.add(f, -1, ((1 - second - unlisted) * each) / sum)
  })
  let pairs = 0
  for (let f = 0; f < odds.length; f++) for (let g = f + 1; g < odds.length; g++) pairs += odds[f]! * odds[g]!
  for (let f = 0; f < odds.length; f++)
    for (let g = f + 1; g < odds.length; g++) list.add(f, g, (second * odds[f]! * odds[g]!) / pairs)
  list.add(-1, -1, unlisted)
  return list.states(0)
}

/**
 * The same without the least likely pairs, where there are more than `most` states: five hundred faults have 125,000
 * pairs, each so rare that no plan can look into it. `leftOut` says what they weigh together.
 */
export function likeliestStates(all: FaultStates, most: number): FaultStates {
  if (all.count <= most) return all
  const { count, first, second, prior } = all
  const pairs = Array.from({ length: count }, (_, state) => state).filter((state) => second[state]! >= 0)
  pairs.sort((a, b) => prior[b]! - prior[a]! || a - b)
  const isLeftOut = new Uint8Array(count)
  let leftOut = 0
  for (const state of pairs.slice(Math.max(0, most - (count - pairs.length)))) {
    isLeftOut[state] = 1
    leftOut += prior[state]!
  }
  const list = new StateList(count)
  for (let state = 0; state < count; state++)
    if (isLeftOut[state] === 0) list.add(first[state]!, second[state]!, prior[state]!)
  return list.states(leftOut)
}

class StateList {
  readonly #first: Int32Array
  readonly #second: Int32Array
  readonly #prior: Float64Array
  #count = 0

  constructor(most: number) {
    this.#first = new Int32Array(most)
    this.#second = new Int32Array(most)
    this.#prior = new Float64Array(most)
  }

  /** Adds a state, but not one without a chance. */
  add(first: number, second: number, prior: number): void {
    if (prior === 0) return
    const at = this.#count++
    this.#first[at] = first
    this.#second[at] = second
    this.#prior[at] = prior
  }

  states(leftOut: number): FaultStates {
    const count = this.#count
    return {
      count,
      first: this.#first.slice(0, count),
      second: this.#second.slice(0, count),
      prior: this.#prior.slice(0, count),
      leftOut,
    }
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
