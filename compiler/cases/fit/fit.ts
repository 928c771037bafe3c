/** A ruleset's numbers fitted to recorded cases, as a change to its source that the author may take or leave. */
import { writeGraph } from "../../graph/write.ts"
import type { Model } from "../../model/model.ts"
import type { Graph } from "../../run/graph.ts"
import type { Tree } from "../../syntax/syntax-tree.ts"
import type { Case } from "../record/case.ts"
import { blames } from "../replay/blame.ts"
import { words } from "../report/labels.ts"
import type { Mistake } from "../report/report.ts"
import { estimate } from "./estimate.ts"
import { parametersOf } from "./parameters.ts"
import { type NumberChange, numberChanges } from "./patch.ts"
import { type Validation, validate } from "./validate.ts"

export interface Fit {
  /** How many cases the author's numbers count as. */
  readonly weight: number
  readonly cases: number
  /** Without a confirmed fault, or with one that is not listed: they teach nothing here. */
  readonly unused: number
  readonly changes: readonly NumberChange[]
  /** Faults that fewer cases than `fewCases` confirmed: their numbers stay near the author's. */
  readonly few: readonly { readonly fault: string; readonly cases: number }[]
  /** What the author says is always or never so, and cases contradict; the most frequent first. Nothing here is changed. */
  readonly contradicted: readonly Contradiction[]
  /** Absent where the cases are too few for it. */
  readonly validation?: Validation
}

export interface Contradiction {
  readonly cause: Mistake["cause"]
  readonly name?: string
  readonly because?: string
  /** Line of the rule. */
  readonly at?: number
  readonly fault: string
  readonly found: string
  readonly ids: readonly string[]
  /** Of so many cases with this fault. */
  readonly of: number
}

export const fewCases = 5
/** How many cases the author's numbers count as, unless said otherwise. */
export const usualWeight = 20
const folds = 10

/** A graph that plans nothing: all that reading cases needs. */
export function unplanned(model: Model): Graph {
  const belief = { uncured: new Float64Array(0), cured: new Float64Array(0) }
  const expected = { total: 0, tests: 0, minutes: 0, steps: 0, wrong: 0, handover: 0 }
  const nodes = [{ do: "advise" as const, belief, reach: 1, costToGo: 0 }]
  const plan = { nodes, start: 0, expected, lower: 0, exact: false }
  return writeGraph(model, plan, { source: "", compiler: "" })
}

/** `cases` are read for `unplanned(model)`; `weight` is above 0. */
export function fitTo(model: Model, trees: readonly Tree[], cases: readonly Case[], weight: number): Fit {
  const parameters = parametersOf(model, trees)
  const known = cases.filter(({ truth }) => truth.known === "listed")
  const { values, counts } = estimate(parameters, known, weight)
  const validation = validate(parameters, known, weight, folds)
  return {
    weight,
    cases: cases.length,
    unused: cases.length - known.length,
    changes: numberChanges(parameters, values, counts),
    few: model.faults.flatMap(({ name }, f) =>
      counts.odds[f]! < fewCases ? [{ fault: name, cases: counts.odds[f]! }] : [],
    ),
    contradicted: contradictions(model, known, counts.odds),
    ...(validation ? { validation } : {}),
  }
}

function contradictions(model: Model, cases: readonly Case[], of: Float64Array): Contradiction[] {
  const graph = unplanned(model)
  const { mistake } = words(graph)
  const found = new Map<string, Omit<Contradiction, "ids"> & { ids: string[] }>()
  for (const record of cases) {
    if (record.truth.known !== "listed") continue
    const { fault } = record.truth
    for (const blame of blames(graph, record)) {
      const { id, line: _, cameBack: __, onWalk: ___, ...said } = mistake(record, fault, blame, false)
      const key = JSON.stringify([said.cause, said.name, said.at, said.fault, said.found])
      const known = found.get(key)
      if (known === undefined) found.set(key, { ...said, ids: [id], of: of[fault]! })
      else if (!known.ids.includes(id)) known.ids.push(id)
    }
  }
  return [...found.values()].sort((a, b) => b.ids.length - a.ids.length)
}
