import type { Losses } from "./loss.ts"
import type { Problem } from "./problem.ts"
import { ACTIVE, CURED, FITTED, type Separation } from "./separation.ts"
import { isFitted, type State } from "./state.ts"
import { TRUST_SLACK } from "./stop.ts"

/** Rounds of looking for a set of suspects that is harder to get rid of. */
const ROUNDS = 3

/** What the path of one hypothesis costs at least, by what failing on it costs. */
export interface Cover {
  /** `firsts`: the actions that may be done now. */
  enter(state: State, mass: Float64Array, losses: Losses, firsts: readonly number[]): void
  /** Works out `least` and `served` of the k-th hypothesis. */
  work(k: number, failures: readonly number[]): void
  readonly least: Float64Array
  /** By failure and position in `firsts`: what it is worth to the path that the action be done, its price apart. */
  readonly served: readonly Float64Array[]
}

/**
 * The dual of the fractional knapsack (bound.ts): actions are items, and failing is one that covers all. Any set of
 * suspects gives a bound; beginning with all others, each round keeps those that the round before left nearly untouched.
 * A put back needs its swap before it; the two are one item where the second alone would be the better bargain.
 */
export function makeCover(problem: Problem, separation: Separation): Cover {
  const { faults: n, tests, place, trust, work } = problem
  const { taken, actions } = separation
  const places = problem.price.length
  /** What the others may weigh beside a remedy that is believed. */
  const odds = (1 - trust) / trust
  const allowed = new Int32Array(actions)
  let count = 0
  /** By position in `ids`: its column in `taken`. */
  const column = new Int32Array(2 * n)
  const set = new Int32Array(2 * n)
  const gain = new Float64Array(actions)
  const price = Float64Array.from({ length: actions }, (_, action) => work[action % tests]!.cost)
  /** By put back: 1 where it is one item with its swap. */
  const merged = new Uint8Array(actions)
  const share = new Float64Array(actions)
  const lost = new Float64Array(tests)
  const masked = new Float64Array(tests)
  const least = new Float64Array(2)
  const served = [new Float64Array(actions), new Float64Array(actions)]
  let ids = new Uint16Array()
  let weights = new Float64Array()
  let used = new Uint8Array()
  let mass = new Float64Array()
  let losses: Losses = () => {}
  let firsts: readonly number[] = []
  /** Price of a unit of the need, after `fill`. */
  let unit = 0

  /** What each action takes, on average, from the first `size` of `set` where the row is to blame. */
  const weigh = (row: number, turning: number, size: number, need: number) => {
    for (let i = 0; i < count; i++) {
      const action = allowed[i]!
      const each = work[action % tests]!
      merged[action] = 0
      // What turns the fault itself is as good as all that is needed.
      if (turning >= 0 && each.kind === "change" && (each.part === turning || each.cures[turning]! > 0)) {
        gain[action] = need
        continue
      }
      const at = (row * actions + action) * 2 * n
      let sum = 0
      for (let j = 0; j < size; j++) sum += weights[set[j]!]! * taken[at + column[set[j]!]!]!
      if (action < tests) sum += lost[action]! * need + masked[action]!
      gain[action] = Math.min(need, sum)
    }
    for (let i = 0; i < count; i++) {
      const action = allowed[i]!
      if (action >= tests && !used[action - tests] && gain[action]! > gain[action - tests]!)
        merged[action] = 1
    }
  }

  /** Least cost of covering the need where failing covers all of it. */
  const fill = (need: number, failure: number): number => {
    for (let i = 0; i < count; i++) share[allowed[i]!] = 0
    let cost = 0
    let open = need
    for (;;) {
      let best = -1
      let size = 0
      unit = failure / need
      for (let i = 0; i < count; i++) {
        const action = allowed[i]!
        if (share[action]! > 0 || (action < tests && merged[tests + action])) continue
        const g = gain[action]! + (merged[action] ? gain[action - tests]! : 0)
        const c = price[action]! * (merged[action] ? 2 : 1)
        if (g <= 0 || c >= unit * g) continue
        best = action
        unit = c / g
        size = g
      }
      if (best < 0) return cost + unit * open
      const part = Math.min(1, open / size)
      share[best] = part
      if (merged[best]) share[best - tests] = part
      cost += part * unit * size
      open -= part * size
      if (part < 1 || open <= 0) return cost
    }
  }

  /** What the dual pays for an action less than it would if that were done already. */
  const worthFirst = (action: number): number => {
    const c = price[action]!
    const worth = unit * gain[action]!
    if (action >= tests || !merged[tests + action]) return Math.min(worth, c)
    const back = unit * gain[tests + action]!
    return worth + Math.max(0, back - c) - Math.max(0, worth + back - 2 * c)
  }

  /** Keeps of the set what has been bought less than half; its new size. */
  const untouched = (row: number, size: number): number => {
    let kept = 0
    for (let j = 0; j < size; j++) {
      let sum = 0
      for (let i = 0; i < count; i++) {
        const action = allowed[i]!
        if (share[action]! > 0)
          sum += share[action]! * taken[(row * actions + action) * 2 * n + column[set[j]!]!]!
      }
      if (sum < 0.5) set[kept++] = set[j]!
    }
    return kept
  }

  return {
    least,
    served,
    enter(state, remedies, ruled, doable) {
      ;({ ids, weights, used } = state as { ids: typeof ids; weights: typeof weights; used: typeof used })
      mass = remedies as typeof mass
      losses = ruled
      firsts = doable
      count = 0
      for (let t = 0; t < tests; t++) {
        const each = work[t]!
        if (!used[t]) allowed[count++] = t
        if (each.kind === "change" && each.part >= 0 && (!used[t] || state.fitted.includes(t)))
          allowed[count++] = tests + t
      }
      for (let k = 0; k < ids.length; k++) {
        const h = ids[k]!
        const isOff = h >= n || (state.fitted.length > 0 && isFitted(problem, state, place[h]!))
        column[k] = isOff ? n + (h % n) : h
      }
    },
    work(k, failures) {
      const h = ids[k]!
      const f = h % n
      const g = h < n ? place[h]! : places
      least.fill(0)
      if (mass[g]! >= trust - TRUST_SLACK) return
      const kind = h >= n ? CURED : column[k]! >= n ? FITTED : ACTIVE
      const row = kind * n + f
      losses(f, kind, lost, masked)
      const left = odds * mass[g]! + TRUST_SLACK * 10
      let size = 0
      for (let i = 0; i < ids.length; i++) {
        if (g === places ? ids[i]! < n : ids[i]! >= n || place[ids[i]!] !== g) set[size++] = i
      }
      // What joins the cured from outside of a smaller set would count for it too, so there is only the whole set.
      const rounds = kind === CURED ? 1 : ROUNDS
      for (let round = 0; round < rounds; round++) {
        let need = -left
        for (let j = 0; j < size; j++) need += weights[set[j]!]!
        if (need <= 0) break
        weigh(row, kind === ACTIVE ? g : -1, size, need)
        for (const [way, failure] of failures.entries()) {
          const cost = fill(need, failure)
          if (cost <= least[way]!) continue
          least[way] = cost
          for (let i = 0; i < firsts.length; i++) served[way]![i] = worthFirst(firsts[i]!)
        }
        const kept = untouched(row, size)
        if (kept === size) break
        size = kept
      }
    },
  }
}
