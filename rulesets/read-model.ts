import { existsSync, readFileSync } from "node:fs"
import { bind } from "../compiler/model/bind.ts"
import { load } from "../compiler/model/load.ts"
import type { Model } from "../compiler/model/model.ts"

/** The text of a file; undefined where there is none. */
export function readText(path: string): string | undefined {
  return existsSync(path) ? readFileSync(path, "utf8") : undefined
}

/** Reads a ruleset from disk. Throws an error that lists the diagnostics where it is not sound. */
export function readModel(path: string): Model {
  const { trees, sources, diagnostics } = load(path, readText)
  const bound = bind(trees)
  const errors = [...diagnostics, ...bound.diagnostics].filter(({ severity }) => severity === "error")
  if (bound.model && errors.length === 0) return bound.model
  const lines = errors.map(({ span, code, message }) => {
    const line = (sources.get(span.file) ?? "").slice(0, span.start).split("\n").length
    return `${span.file}:${line} ${code}: ${message}`
  })
  throw new Error(`${path} is not sound:\n${lines.join("\n")}`)
}
