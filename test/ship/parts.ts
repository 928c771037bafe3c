import { readFileSync } from "node:fs"
import { join } from "node:path"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { casesOf } from "../../rulesets/generate-cases.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { shelved } from "../support/shelf.ts"

export const root = join(import.meta.dirname, "../..")

const part = (name: string) => readFileSync(join(root, "dist/parts", name), "utf8")

/** What exports carry, as the build made it. */
export const moduleParts = { runner: part("runner.js"), types: part("runner.d.ts") }
export const pageParts = { script: part("bench.js"), style: part("bench.css") }

export const kiosk: Graph = compile("kiosk.ruleout", () => KIOSK_DARK, { effort: 300 }).graph!

/** With less effort than the command line spends: what is read back here is the same whether or not the plan is the best. */
export const flagship = (): Graph => shelved("desktop-no-picture", { effort: 300 }).graph!

export const flagshipCases = readFileSync(casesOf("desktop-no-picture"), "utf8")
