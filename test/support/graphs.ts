import { writeGraph } from "../../compiler/graph/write.ts"
import type { Model, Reading } from "../../compiler/model/model.ts"
import { NOTHING } from "../../compiler/plan/expected.ts"
import type { Plan, PlanNode } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { type NodeIndex, tableOf } from "../../compiler/run/indexes.ts"

const advise: PlanNode = {
  do: "advise",
  belief: {
    hypotheses: [],
    present: tableOf([]),
    active: tableOf([]),
    unlisted: 0,
  },
  fitted: [],
  reach: 1,
  costToGo: 0,
}

/** A graph of a model as JSON has it. Without a plan it has the one node `advise`: every step is taken from the model. */
export function graphOf(model: Model, plan?: Plan): Graph {
  const unplanned: Plan = {
    nodes: tableOf([advise]),
    start: 0 as NodeIndex,
    expected: { ...NOTHING, unavoidable: 0 },
    lower: 0,
    exact: false,
    leftOut: 0,
  }
  const measured = { ...model, readings: model.readings.map(withMeter) }
  const graph = writeGraph(measured, plan ?? unplanned, { source: "sha256:0", compiler: "0.0.0" })
  return JSON.parse(JSON.stringify(graph)) as Graph
}

/** A quantity of a sketch has base measures alone: here it gets volts, one to each grid value. */
function withMeter(reading: Reading): Reading {
  const last = reading.cells.at(-1)!.last
  if (reading.grid || last === undefined) return reading
  return { ...reading, grid: { unit: "V", from: 0, to: last, by: 1, count: last + 1 } }
}
