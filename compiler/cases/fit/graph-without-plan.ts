import { writeGraph } from "../../graph/write.ts"
import type { Model } from "../../model/model.ts"
import { NOTHING } from "../../plan/expected.ts"
import type { PlanNode } from "../../plan/plan.ts"
import type { Graph } from "../../run/graph.ts"
import { type NodeIndex, tableOf } from "../../run/indexes.ts"

/** A graph that plans nothing: all that reading cases and thinking about a model's findings need. */
export function graphWithoutPlan(model: Model): Graph {
  const belief = {
    hypotheses: [],
    present: model.faults.map(() => 0),
    active: model.faults.map(() => 0),
    unlisted: 0,
  }
  const expected = { ...NOTHING, unavoidable: 0 }
  const nodes = tableOf<NodeIndex, PlanNode>([{ do: "advise", belief, fitted: [], reach: 1, costToGo: 0 }])
  const plan = { nodes, start: 0 as NodeIndex, expected, lower: 0, exact: false, leftOut: 0 }
  return writeGraph(model, plan, { source: "sha256:0", compiler: "0.0.0" })
}
