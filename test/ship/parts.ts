import { readFileSync } from "node:fs"
import { join } from "node:path"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"

export const root = join(import.meta.dirname, "../..")

const part = (name: string) => readFileSync(join(root, "dist/parts", name), "utf8")

/** What exports carry, as the build made it. */
export const moduleParts = { runner: part("runner.js"), types: part("runner.d.ts") }
export const pageParts = { script: part("bench.js"), style: part("bench.css") }

export const kiosk: Graph = compile("kiosk.ruleout", () => KIOSK_DARK, { effort: 300 }).graph!

const folder = join(root, "rulesets/desktop-no-picture")

let made: Graph | undefined

/**
 * With less effort than the command line spends: what is read back here is the same whether or not the plan is the best.
 * Compiled once for all files of tests.
 */
export function flagship(): Graph {
  made ??= compileFlagship()
  return made
}

function compileFlagship(): Graph {
  const read = (path: string) => {
    try {
      return readFileSync(path, "utf8")
    } catch {
      return undefined
    }
  }
  return compile(join(folder, "desktop-no-picture.ruleout"), read, { effort: 300 }).graph!
}

export const flagshipCases = readFileSync(join(folder, "desktop-no-picture.cases.jsonl"), "utf8")
