import type { Node } from "./node.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"
import { type Stop, stop } from "./stop.ts"

/** Weights closer than this are the same state: far above rounding, far below the 1e-9 that results must keep. */
const SAME = 1e-13

/** What a node takes, with its choices, besides its hypotheses: measured, V8 in Node 20. */
const BYTES_OF_NODE = 1400

/** The same of an action that has not been looked into, about: 80 by itself, of which the node's own has some already. */
export const BYTES_OF_OPEN = 60

/** Every state met once. */
export class Table {
  private readonly slots = new Map<number, Node | Node[]>()
  private readonly problem: Problem
  size = 0
  /** About how much memory all nodes take. */
  bytes = 0

  constructor(problem: Problem) {
    this.problem = problem
  }

  /** The node of a canonical state; `bound` is asked only for a state not met before. */
  intern(state: State, bound: (state: State) => number): Node {
    const key = hash(state)
    const known = this.find(key, state)
    if (known) return known
    const ending = stop(this.problem, state)
    const node: Node = {
      state,
      stop: ending,
      lower: least(state, ending, bound),
      upper: ending.cost,
      chosen: undefined,
      base: undefined,
      followed: false,
      choices: [],
      open: undefined,
      visits: 0,
      tried: 0,
    }
    this.size++
    this.bytes += BYTES_OF_NODE + 10 * state.ids.length
    const slot = this.slots.get(key)
    if (slot === undefined) this.slots.set(key, node)
    else if (Array.isArray(slot)) slot.push(node)
    else this.slots.set(key, [slot, node])
    return node
  }

  private find(key: number, state: State): Node | undefined {
    const slot = this.slots.get(key)
    if (slot === undefined) return undefined
    if (!Array.isArray(slot)) return isSame(slot.state, state) ? slot : undefined
    return slot.find((node) => isSame(node.state, state))
  }
}

function least(state: State, ending: Stop, bound: (state: State) => number): number {
  return state.ids.length === 0 ? ending.cost : Math.min(ending.cost, bound(state))
}

/** Over everything but the low digits of the weights, which differ with the order in which findings came. */
function hash(state: State): number {
  let h = 0x811c9dc5
  const mix = (x: number) => {
    h = Math.imul(h ^ x, 0x01000193)
    h ^= h >>> 15
  }
  for (let k = 0; k < state.ids.length; k++) {
    mix(state.ids[k]!)
    mix(Math.round(state.weights[k]! * 0x2000_0000))
  }
  for (let r = 0; r < state.evidence.length; r++)
    if (state.evidence[r]! >= 0) mix((r << 10) ^ state.evidence[r]!)
  for (let t = 0; t < state.used.length; t++) if (state.used[t]) mix(t + 0x4000)
  for (const t of state.fitted) mix(t + 0x8000)
  return h & 0x3fff_ffff
}

function isSame(a: State, b: State): boolean {
  if (a.used !== b.used || a.evidence !== b.evidence) return false
  if (a.ids.length !== b.ids.length || a.fitted.length !== b.fitted.length) return false
  for (let k = 0; k < a.ids.length; k++) if (a.ids[k] !== b.ids[k]) return false
  for (let k = 0; k < a.fitted.length; k++) if (a.fitted[k] !== b.fitted[k]) return false
  for (let k = 0; k < a.weights.length; k++) if (Math.abs(a.weights[k]! - b.weights[k]!) > SAME) return false
  return true
}
