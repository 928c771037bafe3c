import { Node } from "./node.ts"
import type { State } from "./state.ts"

/** Weights closer than this are the same state: far above rounding, far below the 1e-9 that results must keep. */
const SAME = 1e-13

/** What a node takes, with its job and its choices, besides its hypotheses: measured, V8 in Node 20. */
const BYTES_OF_NODE = 2500

/** The same of a step that has not been looked into, about. */
export const BYTES_OF_OPEN = 60

const BYTES_OF_HYPOTHESIS = 16

/** Every state met once. */
export class Table {
  readonly #slots = new Map<number, Node | Node[]>()
  size = 0
  /** About how much memory all nodes take. */
  bytes = 0

  /** The node of a state; its bounds count only where it hasn't been met before. */
  intern(state: State, lower: (state: State) => number, upper: number): Node {
    const key = hash(state)
    const known = this.#find(key, state)
    if (known) return known
    const node = new Node(state, lower, upper)
    this.size++
    this.bytes += BYTES_OF_NODE + BYTES_OF_HYPOTHESIS * state.ids.length
    const slot = this.#slots.get(key)
    if (slot === undefined) this.#slots.set(key, node)
    else if (Array.isArray(slot)) slot.push(node)
    else this.#slots.set(key, [slot, node])
    return node
  }

  #find(key: number, state: State): Node | undefined {
    const slot = this.#slots.get(key)
    if (slot === undefined) return undefined
    if (!Array.isArray(slot)) return isSame(slot.state, state) ? slot : undefined
    return slot.find((node) => isSame(node.state, state))
  }
}

/** Over everything but the low digits of the weights, which differ with the order in which findings came. */
function hash({ job, ids, memories, weights }: State): number {
  let h = 0x811c9dc5
  const mix = (x: number) => {
    h = Math.imul(h ^ x, 0x01000193)
    h ^= h >>> 15
  }
  mix(job.id)
  for (let k = 0; k < ids.length; k++) {
    mix(ids[k]!)
    mix(memories[k]!)
    mix(Math.round(weights[k]! * 0x2000_0000))
  }
  return h & 0x3fff_ffff
}

function isSame(a: State, b: State): boolean {
  if (a.job !== b.job || a.ids.length !== b.ids.length) return false
  for (let k = 0; k < a.ids.length; k++)
    if (a.ids[k] !== b.ids[k] || a.memories[k] !== b.memories[k]) return false
  for (let k = 0; k < a.weights.length; k++) if (Math.abs(a.weights[k]! - b.weights[k]!) > SAME) return false
  return true
}
