/**
 * Walks recorded cases through a compiled graph. What the record knows is followed as recorded; what came of a swap, a
 * redoing or a repair that the record does not have is inferred where it follows surely from what was confirmed. From
 * the first outcome that neither gives, the case is open: it goes on over all outcomes, each with its chance.
 */

import type { GraphStep } from "../../run/graph.ts"
import type { NodeIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { AdvisedSessions, continueAdvised } from "./continue-advised.ts"
import { continueOpen } from "./continue-open.ts"
import { Evidence, type KnownOutcome } from "./evidence.ts"
import { edgeFor, edgeForCell, type GraphIndex } from "./graph-index.ts"
import { closedWith, handedOver } from "./judge.ts"
import { Trail, type Walk } from "./trail.ts"

export type { Walk } from "./trail.ts"

/** Keeps what can be used again for the next case; not to be used by two walks at once. */
export class Walker {
  readonly index: GraphIndex
  readonly #evidence: Evidence
  readonly #sessions: AdvisedSessions

  constructor(index: GraphIndex) {
    this.index = index
    this.#evidence = new Evidence(index.trueMachine)
    this.#sessions = new AdvisedSessions(index)
  }

  /** `carryOn`: also say how an open case would end, which takes as long again as walking it. */
  walk(record: Case, carryOn = true): Walk {
    const { index } = this
    const evidence = this.#evidence.load(record)
    const trail = new Trail(index, record, evidence)
    let next: NodeIndex | undefined = index.graph.start
    while (next !== undefined) {
      const node: NodeIndex = next
      const here = at(index.graph.nodes, node)
      if (here.do === "advise") {
        const { ending, open } = continueAdvised(trail, this.#sessions)
        return trail.end(ending, true, open)
      }
      if (here.do === "handover") return trail.end(handedOver(record, here.candidates))
      const outcome = this.#outcome(node, here, trail)
      if (outcome === undefined) {
        if (!carryOn) return trail.end({ kind: "open" })
        const ahead = continueOpen(index, record, evidence, node, trail.state)
        return trail.end({ kind: "open" }, false, { ...ahead, action: here })
      }
      const { found, inferred } = outcome
      const edge = index.edges[outcome.edge]
      trail.add(here, found, { leftIn: edge?.leaveIn === true, inferred })
      if (edge === undefined) {
        trail.strayed = node
        return trail.end(handedOver(record, [], here))
      }
      trail.edges.push(outcome.edge)
      next = edge.to
    }
    return trail.end(closedWith(trail.state))
  }

  /** What the record knows of a step, and the edge that it leads to; -1 where no state fits. */
  #outcome(
    node: NodeIndex,
    here: GraphStep,
    { state }: Trail,
  ): (KnownOutcome & { edge: number }) | undefined {
    const { index } = this
    // Most steps take one reading.
    const single = at(index.single, node)
    if (single !== -1 && here.do === "test") {
      const cell = this.#evidence.cell(here.test, single, state)
      return cell === -1
        ? undefined
        : { found: [cell], inferred: false, edge: edgeForCell(index, node, cell) }
    }
    const known = this.#evidence.outcome(here, state, true)
    return known && { ...known, edge: edgeFor(index, node, known.found) }
  }
}
