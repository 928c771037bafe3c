import { writeGraph } from "../../graph/write.ts"
import type { Model } from "../../model/model.ts"
import type { PlanNode } from "../../plan/plan.ts"
import type { Graph } from "../../run/graph.ts"
import { type NodeIndex, tableOf } from "../../run/indexes.ts"

/** A graph that plans nothing: all that reading cases and thinking about a model's findings need. */
export function unplanned(model: Model): Graph {
  const belief = {
    hypotheses: [],
    present: model.faults.map(() => 0),
    active: model.faults.map(() => 0),
    unlisted: 0,
  }
  const expected = {
    total: 0,
    tests: 0,
    parts: 0,
    repairs: 0,
    proof: 0,
    comebacks: 0,
    handover: 0,
    waiting: 0,
    minutes: 0,
    steps: 0,
    comesBack: 0,
    handedOver: 0,
    wasted: 0,
    struck: 0,
    forbidden: 0,
    unavoidable: 0,
  }
  const nodes = tableOf<NodeIndex, PlanNode>([{ do: "advise", belief, fitted: [], reach: 1, costToGo: 0 }])
  const plan = { nodes, start: 0 as NodeIndex, expected, lower: 0, exact: false, leftOut: 0 }
  return writeGraph(model, plan, { source: "sha256:0", compiler: "0.0.0" })
}
