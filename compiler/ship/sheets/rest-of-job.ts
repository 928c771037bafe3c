import type { Graph, GraphNode, GraphStep } from "../../run/graph.ts"
import type { Entry } from "../../run/index.ts"
import { type NodeIndex, tableOf } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Machine } from "../../run/machine.ts"
import { nodeReached } from "../../run/position.ts"
import { MoneySpread } from "./money-spread.ts"

/** What is still to come of a job, as the graph plans it. */
export interface Rest {
  /** Work, waiting and parts: what an owner pays. What a comeback or handing over costs the shop is not in it. */
  readonly bill: MoneySpread
  /** Minutes that the machine waits while the bench is free. */
  readonly waits: number
}

/** Worked out once for a graph and all of its jobs, from the end to where they are. */
export class RestOfJob {
  readonly #graph: Graph
  readonly #machine: Machine
  readonly #known = new Map<GraphNode, Rest>()
  readonly #nothing: MoneySpread

  constructor(graph: Graph, machine: Machine) {
    this.#graph = graph
    this.#machine = machine
    this.#nothing = MoneySpread.nothing(graph.expected.total)
  }

  /** From where a log leads to; undefined where that is on no path of the graph. */
  after(log: readonly Entry[]): Rest | undefined {
    const node = nodeReached(this.#machine, log)
    return node && node.do !== "advise" ? this.#from(node) : undefined
  }

  #from(node: GraphNode): Rest {
    if (node.do === "handover") return { bill: this.#nothing, waits: 0 }
    if (node.do === "advise") return { bill: this.#nothing.plus(node.costToGo), waits: 0 }
    const known = this.#known.get(node)
    if (known) return known
    const rest = this.#fromStep(node)
    this.#known.set(node, rest)
    return rest
  }

  #fromStep(node: GraphStep): Rest {
    const nodes = tableOf<NodeIndex, GraphNode>(this.#graph.nodes)
    const ways = node.edges.map(({ chance, to }) => {
      const next = to === undefined ? undefined : at(nodes, to)
      return { chance, next, rest: next ? this.#from(next) : { bill: this.#nothing, waits: 0 } }
    })
    const further = ways.reduce((sum, { chance, next }) => sum + chance * this.#toGo(next), 0)
    // What the tries of its look take is what the cost to go has besides; of the proof run that is what comes back.
    const look = node.do === "close" ? 0 : Math.max(0, node.costToGo - node.cost - further)
    const bills = ways.map(({ chance, rest }) => ({ chance, spread: rest.bill }))
    return {
      bill: this.#nothing.mixed(bills).plus(node.cost + look),
      waits: this.#waitsOf(node) + ways.reduce((sum, { chance, rest }) => sum + chance * rest.waits, 0),
    }
  }

  #toGo(node: GraphNode | undefined): number {
    if (node === undefined) return 0
    return node.do === "handover" ? this.#graph.handover : node.costToGo
  }

  #waitsOf(node: GraphStep): number {
    const { tests, model } = this.#graph
    if (node.do === "test") return at(tests, node.test).waits ?? 0
    if (node.do === "replace") return at(model.replace, node.part)?.waits ?? 0
    return node.do === "fix" ? (at(model.fix, node.fault)?.waits ?? 0) : 0
  }
}
