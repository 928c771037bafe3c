import type { Graph } from "../../run/graph.ts"
import type { ReadingIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"

/** Meters repeat themselves: so many words of a reading are kept with what they come to. */
const MOST = 10_000

/** What words come to on each reading, kept by graph: a file of cases says the same few over and over. */
export class KeptByReading<W extends string | number, V> {
  readonly #all = new WeakMap<Graph, Table<ReadingIndex, Map<W, V>>>()
  readonly #work: (graph: Graph, reading: ReadingIndex, word: W) => V

  /** What `work` throws, or gives as undefined, isn't kept. */
  constructor(work: (graph: Graph, reading: ReadingIndex, word: W) => V) {
    this.#work = work
  }

  of(graph: Graph, reading: ReadingIndex, word: W): V {
    const known = at(this.#of(graph), reading)
    const before = known.get(word)
    if (before !== undefined) return before
    const made = this.#work(graph, reading, word)
    if (made !== undefined && known.size < MOST) known.set(word, made)
    return made
  }

  #of(graph: Graph): Table<ReadingIndex, Map<W, V>> {
    const known = this.#all.get(graph)
    if (known) return known
    const made = graph.readings.map(() => new Map<W, V>())
    this.#all.set(graph, made)
    return made
  }
}
