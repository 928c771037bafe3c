import type { Problem } from "./problem.ts"
import { actionsOf, costOf, fittedDuring, type State } from "./state.ts"
import { type Scratch, weighChange, weighLook } from "./weigh.ts"

/** What one step would bring: openness taken away per money. */
export interface Prospect {
  readonly action: number
  /** Bits per money. */
  readonly gain: number
}

/**
 * The one-step rule that the search starts from and is measured against: every action that may be done, by the openness
 * (Shannon entropy over the remedies, in bits) that it takes away per money. Actions without any outcome are left out.
 */
export function makeProspects(problem: Problem, scratch: Scratch): (state: State) => Prospect[] {
  const places = problem.price.length
  const n = problem.faults
  const mass = new Float64Array(places + 1)
  /** Remedies that some live hypothesis calls for, or may call for once it is cured. */
  const live = new Int32Array(places + 1)
  let liveCount = 0
  const findLive = (state: State) => {
    mass.fill(0)
    add(state, state.weights)
    mass[places] = 1
    liveCount = 0
    for (let g = 0; g <= places; g++) if (mass[g]! > 0) live[liveCount++] = g
    mass.fill(0)
  }

  /** Σ −m log2(m / total): openness of what `mass` holds, weighed by its total; empties it. */
  const open = (total: number): number => {
    let bits = total * Math.log2(total)
    for (let i = 0; i < liveCount; i++) {
      const m = mass[live[i]!]!
      if (m > 0) bits -= m * Math.log2(m)
      mass[live[i]!] = 0
    }
    return bits
  }
  const add = (state: State, weights: Float64Array) => {
    for (let k = 0; k < state.ids.length; k++) {
      const h = state.ids[k]!
      mass[h < n ? problem.place[h]! : places]! += weights[k]!
    }
  }

  const openAfter = (state: State, action: number): number | undefined => {
    const work = problem.work[action % problem.tests]!
    let sum = 0
    let bits = 0
    if (work.kind === "look") {
      for (let o = 0; o < work.outcomes.length; o++) {
        const total = weighLook(problem, state, work, o, scratch)
        if (total <= 0) continue
        add(state, scratch.same)
        sum += total
        bits += open(total)
      }
    } else {
      const { gone, stays } = weighChange(problem, state, work, fittedDuring(problem, state, action), scratch)
      if (gone > 0) {
        add(state, scratch.same)
        for (let k = 0; k < state.ids.length; k++) mass[places]! += scratch.cured[k]!
        bits += open(gone)
      }
      if (stays > 0) {
        add(state, scratch.stays)
        bits += open(stays)
      }
      sum = gone + stays
    }
    return sum > 0 ? bits / sum : undefined
  }

  return (state) => {
    findLive(state)
    add(state, state.weights)
    const now = state.ids.length > 0 ? open(1) : 0
    const prospects: Prospect[] = []
    for (const action of actionsOf(problem, state)) {
      const after = openAfter(state, action)
      if (after === undefined) continue
      prospects.push({ action, gain: (now - after) / Math.max(costOf(problem, action), 1e-9) })
    }
    return prospects
  }
}

/** The best prospect that gains anything and costs less than `limit`; the earlier one where two are equal. */
export function best(problem: Problem, prospects: readonly Prospect[], limit: number): Prospect | undefined {
  let found: Prospect | undefined
  for (const p of prospects) {
    if (p.gain > (found?.gain ?? 0) + 1e-12 && costOf(problem, p.action) < limit) found = p
  }
  return found
}
