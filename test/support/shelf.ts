import type { AnalysisOptions, Compiled } from "../../compiler/compile.ts"
import type { PlanOptions } from "../../compiler/plan/plan.ts"
import { compiledFrom, fileOf } from "../../rulesets/read-model.ts"

const compiled = new Map<string, Compiled>()

/**
 * A shipped ruleset, compiled once for all files of a worker. What the codes that take plans of their own find is asked for by
 * write-figures.ts.
 */
export function shelved(folder: string, options: PlanOptions & Pick<AnalysisOptions, "texts">): Compiled {
  const key = `${folder} ${JSON.stringify(options)}`
  const known = compiled.get(key)
  if (known) return known
  const made = compiledFrom(fileOf(folder), options)
  compiled.set(key, made)
  return made
}
