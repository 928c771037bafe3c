import { evaluate, TRUE } from "./condition.ts"
import type { Change, Look, Problem } from "./problem.ts"
import type { State } from "./state.ts"

/** Weights by remedy, with the sums that the entropy of a changed few is made from. */
export interface Side {
  /** By place, and in the last slot what is done already. */
  readonly mass: Float64Array
  /** Σ m log2 m. */
  phi: number
  total: number
}

/** One state laid out for judging every action in it without allocating anything. Made once, entered for each state. */
export interface Scope {
  /** By hypothesis. */
  readonly weight: Float64Array
  /** By place: 1 where a known-good part is fitted. */
  readonly replaced: Uint8Array
  /** Slot of the remedy that is done already. */
  readonly done: number
  readonly all: Side
  /** What `liveAmong` found. */
  readonly touched: Int32Array
  /** What `mask` ruled out; where `only` is given, just those of it. */
  readonly out: readonly number[]
  /** All that `mask` may have left; undefined: it ruled out only a few. */
  readonly only: readonly number[] | undefined
  /** Nothing at all. */
  readonly none: Side
  /** Weight of the outcome that `end` closed. */
  readonly total: number
  /** Σ t log2 t over the weights t of the outcomes closed since `fresh`. */
  readonly spread: number
  fresh(): void
  enter(state: State): void
  leave(state: State): void
  /** Puts the live ones of these faults into `touched`; how many there are. */
  liveAmong(faults: readonly number[]): number
  /** Works out which live faults an outcome of a look rules out; false where a never forbids it. */
  mask(state: State, work: Look, outcome: number): boolean
  isOut(fault: number): boolean
  /** What looking for the complaint leaves, if nothing were redone or swapped. */
  lookedFor(work: Change): { readonly gone: Side; readonly stays: Side }
  /** Opens an outcome whose weights are h times those of a side, but for what `shift` says. */
  begin(side: Side, h: number): void
  shift(slot: number, by: number): void
  /** Openness of the outcome in bits, times its weight. */
  end(): number
}

/** Sums of differences closer to zero than this are zero. */
const ROUNDING = 1e-15

export function phi(m: number): number {
  return m > 0 ? m * Math.log2(m) : 0
}

export function makeScope(problem: Problem): Scope {
  const { faults: n, price, place } = problem
  const done = price.length
  const makeSide = (): Side => ({ mass: new Float64Array(done + 1), phi: 0, total: 0 })
  const add = (side: Side, slot: number, m: number) => {
    side.mass[slot]! += m
  }
  const close = (side: Side) => {
    side.phi = 0
    side.total = 0
    for (const m of side.mass) {
      side.phi += phi(m)
      side.total += m
    }
  }
  const weight = new Float64Array(2 * n)
  const replaced = new Uint8Array(done)
  const all = makeSide()
  const touched = new Int32Array(n)
  const evidence = new Int16Array(problem.readings)
  const none = makeSide()
  const out: number[] = []
  let only: readonly number[] | undefined
  const outAt = new Int32Array(n)
  let stamp = 0
  const sides = new Map<number, { gone: Side; stays: Side; owner: State | undefined }>()
  let here: State | undefined

  let base = all
  let scale = 1
  let total = 0
  let spread = 0
  const moved: number[] = []
  const delta = new Float64Array(done + 1)
  const isMoved = new Uint8Array(done + 1)

  return {
    weight,
    replaced,
    done,
    all,
    touched,
    out,
    none,
    get only() {
      return only
    },
    get total() {
      return total
    },
    get spread() {
      return spread
    },
    fresh() {
      spread = 0
    },
    enter(state) {
      here = state
      all.mass.fill(0)
      for (let k = 0; k < state.ids.length; k++) {
        const h = state.ids[k]!
        weight[h] = state.weights[k]!
        add(all, h < n ? place[h]! : done, state.weights[k]!)
      }
      close(all)
      for (const t of state.fitted) replaced[(problem.work[t] as Change).part] = 1
    },
    leave(state) {
      for (const h of state.ids) weight[h] = 0
      for (const t of state.fitted) replaced[(problem.work[t] as Change).part] = 0
    },
    liveAmong(faults) {
      let count = 0
      for (const f of faults) if (weight[f]! > 0 || weight[n + f]! > 0) touched[count++] = f
      return count
    },
    mask(state, work, outcome) {
      stamp++
      out.length = 0
      only = undefined
      if (!work.asked) return true
      evidence.set(state.evidence)
      const cells = work.outcomes[outcome]!
      for (let i = 0; i < work.reads.length; i++) evidence[work.reads[i]!] = cells[i]!
      for (const r of work.reads) {
        const { rules, nevers } = problem.mentions[r]!
        for (const i of nevers) if (evaluate(problem.nevers[i]!, evidence) === TRUE) return false
        for (const i of rules) {
          const rule = problem.rules[i]!
          if (rule.leaves) {
            if (evaluate(rule.condition, evidence) !== TRUE) continue
            for (const f of only ?? []) if (rule.isOut[f]) outAt[f] = stamp
            only ??= rule.leaves
            continue
          }
          let acts = -1
          for (const f of rule.out) {
            if (outAt[f] === stamp || (weight[f] === 0 && weight[n + f] === 0)) continue
            if (acts < 0) acts = evaluate(rule.condition, evidence) === TRUE ? 1 : 0
            if (acts === 0) break
            outAt[f] = stamp
            out.push(f)
          }
        }
      }
      return true
    },
    isOut: (fault) => outAt[fault] === stamp,
    lookedFor(work) {
      let pair = sides.get(work.tries)
      if (!pair) {
        pair = { gone: makeSide(), stays: makeSide(), owner: undefined }
        sides.set(work.tries, pair)
      }
      if (pair.owner === here) return pair
      pair.owner = here
      const { gone, stays } = pair
      gone.mass.fill(0)
      stays.mass.fill(0)
      for (const h of here!.ids) {
        if (h >= n) {
          add(gone, done, weight[h]!)
          continue
        }
        const seen = replaced[place[h]!] ? 0 : work.seen[h]!
        add(gone, place[h]!, weight[h]! * (1 - seen))
        add(stays, place[h]!, weight[h]! * seen)
      }
      close(gone)
      close(stays)
      return pair
    },
    begin(side, h) {
      base = side
      scale = h
    },
    shift(slot, by) {
      if (!isMoved[slot]) {
        isMoved[slot] = 1
        moved.push(slot)
      }
      delta[slot]! += by
    },
    end() {
      let rest = base.total
      let restPhi = base.phi
      let changed = 0
      total = 0
      for (const slot of moved) {
        const before = base.mass[slot]!
        const now = scale * before + delta[slot]!
        rest -= before
        restPhi -= phi(before)
        if (now > ROUNDING) {
          total += now
          changed += phi(now)
        }
        delta[slot] = 0
        isMoved[slot] = 0
      }
      moved.length = 0
      if (rest < ROUNDING) {
        rest = 0
        restPhi = 0
      }
      total += scale * rest
      spread += phi(total)
      return phi(total) - (scale * restPhi + phi(scale) * rest + changed)
    },
  }
}
