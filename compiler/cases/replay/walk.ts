/**
 * One case walked through the compiled graph. What the record knows is followed as recorded; what came of a swap or a
 * redoing that the record does not have is inferred where it follows surely from the confirmed fault. From the first
 * finding that neither gives, the case is open: it goes on over all outcomes, each with its chance given the fault.
 */
import type { Graph } from "../../run/index.ts"
import type { Case } from "../record/case.ts"
import { continueAdvised } from "./continue-advised.ts"
import { continueOpen } from "./continue-open.ts"
import { Evidence } from "./evidence.ts"
import { follow, followCell, type GraphIndex } from "./graph-index.ts"
import { type Ending, judge } from "./judge.ts"
import { Trail, type Walk } from "./trail.ts"

export type { Walk } from "./trail.ts"

function noneFits(test: number): Ending {
  return { kind: "handover", candidates: [], noneFits: test, listed: false }
}

/** A million records leave nothing to clean up: each graph has one, loaded with record after record. */
const reused = new WeakMap<Graph, Evidence>()

function evidenceOf(graph: Graph): Evidence {
  let evidence = reused.get(graph)
  if (!evidence) {
    evidence = new Evidence(graph)
    reused.set(graph, evidence)
  }
  return evidence
}

/** `carryOn`: also say how an open case would end, which takes as long again as to walk it. */
export function walk(index: GraphIndex, record: Case, carryOn = true): Walk {
  const { graph } = index
  const evidence = evidenceOf(graph).load(record)
  const trail = new Trail(index, evidence)
  const { edges } = trail
  for (let node = graph.start; ; ) {
    const here = graph.nodes[node]!
    if (here.do === "advise") {
      const { ending, open } = continueAdvised(index, record, trail)
      return trail.end(ending, true, open)
    }
    if (here.do !== "test") return trail.end(judge(graph, record, trail.machine, here))
    const { test } = here
    const putBack = here.putBack === true
    const single = index.single[node]!
    if (single >= 0) {
      // Most steps take one reading, and leave the machine as it is.
      const cell = evidence.cell(test, single, trail.machine)
      if (cell >= 0) {
        trail.spend(test, false)
        const edge = followCell(index, node, cell)
        if (edge < 0) return trail.end(noneFits(test))
        edges.push(edge)
        node = index.edges[edge]!.to
        continue
      }
    }
    const step = evidence.step(test, putBack, trail.machine)
    if (step === undefined) {
      if (!carryOn) return trail.end({ kind: "open" })
      const ends = continueOpen(index, record, evidence, node, trail.machine)
      return trail.end({ kind: "open" }, false, { test, putBack, ends })
    }
    trail.add(test, putBack, step)
    const edge = follow(index, node, step.found)
    if (edge < 0) return trail.end(noneFits(test))
    edges.push(edge)
    node = index.edges[edge]!.to
  }
}
