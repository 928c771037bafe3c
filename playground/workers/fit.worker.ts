import { type Fit, Fitting, graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { readCases } from "../../compiler/cases/record/read.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import type { Project } from "../state/project.ts"
import { serve } from "./rpc.ts"

/** The numbers of a ruleset without errors fitted to cases, lines of JSON, as the command line does it. */
function fit({ root, files }: Project, cases: string, weight: number): Fit {
  const { trees, sources } = load(root, (path) => files[path])
  const { model } = bind(trees, sources)
  if (!model) throw new Error("The ruleset has errors.")
  const fitting = new Fitting(model, trees, { weight })
  for (const { case: record } of readCases(cases, graphWithoutPlan(model))) if (record) fitting.add(record)
  return fitting.result()
}

export const functions = { fit }
serve(functions)
