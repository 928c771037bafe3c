import { makeLosses } from "./loss.ts"
import type { Problem } from "./problem.ts"
import { ACTIVE, CURED, FITTED, makeSeparation } from "./separation.ts"
import { actionsOf, isFitted, type State } from "./state.ts"
import { remedyChances, TRUST_SLACK } from "./stop.ts"

/** Rounds of looking for a set of suspects that is harder to get rid of. */
const ROUNDS = 3

/** Hypotheses of less weight add nothing that is worth the work. */
const FAINT = 1e-4

/**
 * A proved lower bound on the best expected total from a state.
 *
 * The total is the sum, over the live hypotheses, of the chance of each times what is spent on its path. On the path of
 * a hypothesis h in place g one of these must come true:
 *   1. g is the verdict, so all others together must have lost the weight that `trust` wants;
 *   2. something that turns h itself is done: its setup redone, its part swapped;
 *   3. another verdict, or handing over.
 *
 * Let an action take, on average over its outcomes with h, the weight e from the others (separation.ts). Whatever the
 * policy, it is decided upon before it comes out, so done with chance p it takes p·e, and since 1 − Π(1 − e) ≤ Σ e the
 * need can be met no cheaper than by the fractional knapsack (Dantzig 1957) in which failing is one item among the
 * actions. It is the weak dual of that knapsack which is counted, for sets of suspects of which each gives a bound;
 * beginning with all others, each round keeps those that the round before left nearly untouched. This is the argument
 * of converse bounds in sequential testing (Chernoff 1959; Naghshvar and Javidi 2013) with total variation, which stays
 * finite where a finding rules something out, in the place of divergence.
 *
 * Two things bind the hypotheses together. The first step is the same for all: it costs each its full price, and saves
 * each at most what the knapsack would pay for what it takes. And verdicts that `trust` allows are wrong with chance
 * 1 − trust at most: beyond that, failing is handing over.
 *
 * A rule or a never may take the weight of h away although h is there. A step counts for the part of h that has lived up
 * to it, and a finding that takes h meets the need by itself (loss.ts). What remains is scaled up again in the outcomes,
 * which can only add to the total.
 */
export function makeBound(problem: Problem): (state: State) => number {
  const { faults: n, tests, handover, comeback, trust, place, isPart } = problem
  const separation = makeSeparation(problem)
  // A ruleset too large for the tables is too large for a bound that says anything; zero is one, and costs nothing.
  if (!separation) return () => 0
  const { taken, actions } = separation
  const prepareLosses = makeLosses(problem)
  const lost = new Float64Array(tests)
  const masked = new Float64Array(tests)
  const odds = trust > 0 ? (1 - trust) / trust : Number.POSITIVE_INFINITY
  const places = problem.price.length
  const mass = new Float64Array(places + 1)
  const allowed = new Int32Array(actions)
  const column = new Int32Array(2 * n)
  const set = new Int32Array(2 * n)
  const gain = new Float64Array(actions)
  const price = new Float64Array(actions)
  const merged = new Uint8Array(actions)
  const share = new Float64Array(actions)
  /** By way to count a failure: what the first step is worth to those that it serves. */
  const serves = [new Float64Array(actions), new Float64Array(actions)]
  const served = [new Float64Array(actions), new Float64Array(actions)]

  return (state) => {
    const { ids, weights, used, fitted } = state
    remedyChances(problem, state, mass)
    const losses = prepareLosses(state)
    let count = 0
    for (let t = 0; t < tests; t++) {
      const work = problem.work[t]!
      if (!used[t]) allowed[count++] = t
      if (work.kind === "change" && work.part >= 0 && (!used[t] || fitted.includes(t)))
        allowed[count++] = tests + t
    }
    let cheapestWrong = Number.POSITIVE_INFINITY
    for (let g = 0; g < places; g++)
      if (mass[g]! > 0) cheapestWrong = Math.min(cheapestWrong, isPart[g] ? problem.price[g]! : 0)
    if (mass[places]! > 0) cheapestWrong = 0
    const wrong = Math.min(handover, comeback + cheapestWrong)
    const ways = handover - wrong > 1e-9 ? 2 : 1
    const failures = [wrong, handover]
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      const f = h < n ? h : h - n
      column[k] = h >= n || (fitted.length > 0 && isFitted(problem, state, place[f]!)) ? n + f : f
    }

    /** What each action takes, on average, from the first `size` of `set` where the row is to blame. */
    const weigh = (row: number, h: number, size: number, need: number) => {
      for (let i = 0; i < count; i++) {
        const action = allowed[i]!
        const work = problem.work[action % tests]!
        price[action] = work.cost
        merged[action] = 0
        // What turns the fault itself is as good as all that is needed.
        if (h >= 0 && work.kind === "change" && (work.part === place[h] || work.cures[place[h]!]! > 0)) {
          gain[action] = need
          continue
        }
        const at = (row * actions + action) * 2 * n
        let sum = 0
        for (let j = 0; j < size; j++) {
          const k = set[j]!
          sum += weights[k]! * taken[at + column[k]!]!
        }
        gain[action] = action < tests ? Math.min(need, sum + lost[action]! * need + masked[action]!) : sum
      }
      // A put back needs its swap before it.
      for (let i = 0; i < count; i++) {
        const action = allowed[i]!
        if (action < tests || used[action - tests]) continue
        const swap = action - tests
        if (gain[action]! > gain[swap]!) merged[action] = 1
      }
    }

    /** Dual of the fractional knapsack: cost of covering the need, and price of a unit of it. */
    const fill = (need: number, failure: number): { cost: number; unit: number } => {
      for (let i = 0; i < count; i++) share[allowed[i]!] = 0
      const last = failure / need
      let cost = 0
      let open = need
      for (;;) {
        let best = -1
        let ratio = last
        let size = 0
        for (let i = 0; i < count; i++) {
          const action = allowed[i]!
          if (share[action]! > 0) continue
          let g = gain[action]!
          let c = price[action]!
          if (action < tests) {
            if (merged[tests + action]) continue
          } else if (merged[action]) {
            g += gain[action - tests]!
            c += c
          }
          if (g <= 0 || c >= ratio * g) continue
          best = action
          ratio = c / g
          size = g
        }
        if (best < 0) return { cost: cost + last * open, unit: last }
        const part = Math.min(1, open / size)
        share[best] = part
        if (merged[best]) share[best - tests] = part
        cost += part * ratio * size
        open -= part * size
        if (part < 1 || open <= 0) return { cost, unit: ratio }
      }
    }

    const totals = [0, 0]
    const least = [0, 0]
    const count0 = ids.length
    for (let v = 0; v < ways; v++) serves[v]!.fill(0)
    for (let k = 0; k < count0; k++) {
      const w = weights[k]!
      if (w < FAINT) continue
      const h = ids[k]!
      const f = h < n ? h : h - n
      const g = h < n ? place[f]! : places
      if (mass[g]! >= trust - TRUST_SLACK) continue
      const isIn = column[k]! >= n
      const kind = h >= n ? CURED : isIn ? FITTED : ACTIVE
      losses(f, kind, lost, masked)
      const row = kind * n + f
      const left = odds * mass[g]! + TRUST_SLACK * 10
      let size = 0
      let weight = 0
      for (let i = 0; i < count0; i++) {
        if (g === places ? ids[i]! >= n : ids[i]! < n && place[ids[i]!] === g) continue
        set[size++] = i
        weight += weights[i]!
      }
      least[0] = least[1] = 0
      for (let round = 0; round < ROUNDS && weight > left; round++) {
        const need = weight - left
        weigh(row, kind === ACTIVE ? f : -1, size, need)
        for (let v = 0; v < ways; v++) {
          const { cost, unit } = fill(need, failures[v]!)
          if (cost <= least[v]!) continue
          least[v] = cost
          for (let i = 0; i < count; i++) {
            const action = allowed[i]!
            if (action >= tests) {
              served[v]![action] = Math.min(unit * gain[action]!, price[action]!)
              continue
            }
            const c = price[action]!
            const worth = unit * gain[action]!
            const back = unit * gain[tests + action]!
            served[v]![action] = merged[tests + action]
              ? worth + Math.max(0, back - c) - Math.max(0, worth + back - 2 * c)
              : Math.min(worth, c)
          }
        }
        // Keep those that what was bought leaves nearly untouched.
        let kept = 0
        weight = 0
        for (let j = 0; j < size; j++) {
          const i = set[j]!
          let sum = 0
          for (let a = 0; a < count; a++) {
            const action = allowed[a]!
            if (share[action]! === 0) continue
            sum += share[action]! * taken[(row * actions + action) * 2 * n + column[i]!]!
          }
          if (sum >= 0.5) continue
          set[kept++] = i
          weight += weights[i]!
        }
        if (kept === size) break
        size = kept
      }
      for (let v = 0; v < ways; v++) {
        if (least[v] === 0) continue
        totals[v]! += w * least[v]!
        for (let i = 0; i < count; i++) {
          const action = allowed[i]!
          serves[v]![action]! += w * served[v]![action]!
        }
      }
    }
    let bound = 0
    const doable = actionsOf(problem, state)
    for (let v = 0; v < ways; v++) {
      let first = Number.POSITIVE_INFINITY
      for (const action of doable)
        first = Math.min(first, problem.work[action % tests]!.cost - serves[v]![action]!)
      const all = totals[v]! + first - (v === 1 ? (handover - wrong) * (1 - trust) : 0)
      bound = Math.max(bound, all)
    }
    return bound
  }
}
