/** A ruleset's numbers fitted to recorded cases, as a change to its source that the author may take or leave. */
import type { Model } from "../../model/model.ts"
import type { Tree } from "../../syntax/syntax-tree.ts"
import type { Case } from "../record/case.ts"
import { Blamer } from "../replay/blame.ts"
import { TrueMachine } from "../replay/true-machine.ts"
import { Labels } from "../report/labels.ts"
import type { Mistake } from "../report/report.ts"
import { estimate } from "./estimate.ts"
import { parametersOf } from "./parameters.ts"
import { type NumberChange, numberChanges } from "./patch.ts"
import { unplanned } from "./unplanned.ts"
import { type Validation, validate } from "./validate.ts"

export { unplanned } from "./unplanned.ts"

export interface Fit {
  /** How many cases the author's numbers count as. */
  readonly weight: number
  readonly cases: number
  /** Without anything confirmed: they teach nothing here. */
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
  readonly chance: number
  readonly fault: string
  readonly found: string
  readonly ids: readonly string[]
  /** Of so many cases in which the same was confirmed. */
  readonly of: number
}

export const fewCases = 5
/** How many cases the author's numbers count as, unless said otherwise. */
export const usualWeight = 20
/** Parts of the cross-validation; of many cases fewer tell as much. */
const foldsFor = (cases: number) => (cases > 500 ? 5 : 10)

/** `cases` are read for `unplanned(model)`; `weight` is above 0. */
export function fitTo(model: Model, trees: readonly Tree[], cases: readonly Case[], weight: number): Fit {
  const parameters = parametersOf(model, trees)
  const known = cases.filter(({ confirmed }) => confirmed.kind !== "unknown")
  const { values, counts } = estimate(parameters, known, weight)
  const validation = validate(parameters, known, weight, foldsFor(known.length))
  return {
    weight,
    cases: cases.length,
    unused: cases.length - known.length,
    changes: numberChanges(parameters, values, counts),
    few: model.faults.flatMap(({ name }, f) =>
      counts.odds[f]! < fewCases ? [{ fault: name, cases: counts.odds[f]! }] : [],
    ),
    contradicted: contradictions(model, known),
    ...(validation ? { validation } : {}),
  }
}

/** Cases that were not fitted to say that the author's numbers were better: nothing is to be written unless forced. */
export function isHarmful({ validation }: Fit): boolean {
  return validation?.verdict === "harms"
}

/** A rule that is trusted in part may be contradicted: its percentage says how often. */
function contradictions(model: Model, cases: readonly Case[]): Contradiction[] {
  const graph = unplanned(model)
  const labels = new Labels(graph)
  const blamer = new Blamer(graph, new TrueMachine(graph))
  const confirmed = new Map<string, number>()
  const found = new Map<string, Omit<Contradiction, "ids"> & { ids: string[] }>()
  for (const record of cases) {
    const fault = labels.confirmed(record.confirmed)
    confirmed.set(fault, (confirmed.get(fault) ?? 0) + 1)
    for (const blame of blamer.blames(record)) {
      const { id, line: _, cameBack: __, onWalk: ___, ...said } = labels.mistake(record, blame, false)
      if (said.chance < 1) continue
      const key = JSON.stringify([said.cause, said.name, said.at, said.fault, said.found])
      const known = found.get(key)
      if (known === undefined) found.set(key, { ...said, ids: [id], of: 0 })
      else if (!known.ids.includes(id)) known.ids.push(id)
    }
  }
  return [...found.values()]
    .map((each) => ({ ...each, of: confirmed.get(each.fault)! }))
    .sort((a, b) => b.ids.length - a.ids.length)
}
