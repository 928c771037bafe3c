/** The chances that the plan gave itself where it bought a part, fixed a fault or closed the job. */

import type { Hypothesis } from "../../run/index.ts"
import type { FaultIndex, NodeIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { sessionAfter } from "./continue-advised.ts"
import type { GraphIndex } from "./graph-index.ts"
import type { Walk } from "./walk.ts"

/** One forecast, and whether it came true. */
export interface Forecast {
  /** That a fault is where it is repaired, or that a machine which passes its proof run is whole. */
  readonly of: "repair" | "closing"
  readonly chance: number
  readonly came: boolean
}

/** Chances at the nodes of a graph; the runner works each out once. */
export class Decisions {
  readonly #index: GraphIndex
  /** By node: the state of the machine as the plan sees it there. */
  readonly #chances = new Map<NodeIndex, number>()

  constructor(index: GraphIndex) {
    this.#index = index
  }

  /** Of a walk whose case has a confirmed fault, as far as the graph planned it. */
  forecasts(record: Case, { edges, ending, strayed }: Walk): Forecast[] {
    const { graph, from } = this.#index
    const confirmed = record.confirmed.kind === "faults" ? record.confirmed.faults : []
    const passed = [...edges.map((edge) => at(from, edge)), ...(strayed === undefined ? [] : [strayed])]
    return passed.flatMap((number, i): Forecast[] => {
      const node = at(graph.nodes, number)
      const chance = () => this.#chanceAt(number, edges.slice(0, i))
      if (node.do === "keep" || node.do === "replace") {
        const came = confirmed.some((fault) => at(graph.faults, fault).place === node.part)
        return [{ of: "repair", chance: chance(), came }]
      }
      if (node.do === "fix") return [{ of: "repair", chance: chance(), came: confirmed.includes(node.fault) }]
      if (node.do !== "close" || ending.kind !== "closed" || i < edges.length - 1) return []
      return [{ of: "closing", chance: chance(), came: ending.fixed }]
    })
  }

  #chanceAt(number: NodeIndex, before: readonly number[]): number {
    let chance = this.#chances.get(number)
    if (chance === undefined) {
      chance = this.#work(number, before)
      this.#chances.set(number, chance)
    }
    return chance
  }

  #work(number: NodeIndex, before: readonly number[]): number {
    const { graph } = this.#index
    const node = at(graph.nodes, number)
    const session = sessionAfter(this.#index, before)
    if (node.do === "close") return session.find({ close: true }, "holds").standing.whole
    const isHere = (fault: FaultIndex) =>
      node.do === "fix" ? fault === node.fault : "part" in node && at(graph.faults, fault).place === node.part
    return session.hypotheses.reduce(
      (sum: number, { faults, chance }: Hypothesis) => sum + (faults.some(isHere) ? chance : 0),
      0,
    )
  }
}
