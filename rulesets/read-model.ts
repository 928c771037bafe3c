import { existsSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { type AnalysisOptions, type Compiled, startCompile } from "../compiler/compile.ts"
import { bind } from "../compiler/model/bind.ts"
import { load } from "../compiler/model/load.ts"
import type { Model } from "../compiler/model/model.ts"
import type { PlanOptions } from "../compiler/plan/plan.ts"

/** Where a shipped ruleset is. */
export const fileOf = (folder: string) => join(import.meta.dirname, folder, `${folder}.ruleout`)

/** The text of a file; undefined where there is none. */
export function readText(path: string): string | undefined {
  return existsSync(path) ? readFileSync(path, "utf8") : undefined
}

/** The same of a picture. */
export function readPicture(path: string): Uint8Array | undefined {
  return existsSync(path) ? readFileSync(path) : undefined
}

/** Reads a ruleset from disk. Throws an error that lists the diagnostics where it is not sound. */
export function readModel(path: string): Model {
  const { trees, sources, pictures, diagnostics } = load(path, readText, readPicture)
  const bound = bind(trees, sources, pictures)
  const errors = [...diagnostics, ...bound.diagnostics].filter(({ severity }) => severity === "error")
  if (bound.model && errors.length === 0) return bound.model
  const lines = errors.map(({ span, code, message }) => {
    const line = (sources.get(span.file) ?? "").slice(0, span.start).split("\n").length
    return `${span.file}:${line} ${code}: ${message}`
  })
  throw new Error(`${path} is not sound:\n${lines.join("\n")}`)
}

/** Compiles a ruleset from disk, without the codes that take plans of their own: these plan it a dozen times more. */
export function compiledFrom(path: string, options: PlanOptions & AnalysisOptions = {}): Compiled {
  const compiling = startCompile(path, readText, { readPicture, ...options })
  compiling.advance(Number.POSITIVE_INFINITY)
  return compiling.finish()
}
