import { check } from "../../compiler/check/check.ts"
import type { CheckOptions } from "../../compiler/check/context.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan, PlanOptions } from "../../compiler/plan/plan.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"

/** The model of a ruleset in one file; throws where the text has an error before the analysis. */
export function modelFrom(text: string): Model {
  const {
    trees,
    sources,
    diagnostics: parsed,
  } = load("one.ruleout", (path) => (path === "one.ruleout" ? text : undefined))
  const { model, diagnostics: bound } = bind(trees, sources)
  const bad = [...parsed, ...bound].find((finding) => finding.severity === "error")
  if (bad !== undefined || model === undefined) throw new Error(`${bad?.code}: ${bad?.message}`)
  return model
}

export function planFor(model: Model, options: PlanOptions = { effort: 50_000 }): Plan {
  const planner = makePlanner(model, options)
  planner.advance(Number.POSITIVE_INFINITY)
  return planner.plan()
}

/** All that the analysis says, of the plan too. `effort`: of the plan; a good plan is enough for most codes. */
export function analysed(text: string, options?: CheckOptions, effort = 100): Diagnostic[] {
  const model = modelFrom(text)
  return check(model, planFor(model, { effort }), { cannot: 200, ...options })
}

export function codesIn(diagnostics: readonly Diagnostic[]): string[] {
  return [...new Set(diagnostics.map((finding) => finding.code))].sort()
}
