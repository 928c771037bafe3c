import { createContext, runInContext } from "node:vm"
import { gzipSync } from "node:zlib"
import { expect, test } from "vitest"
import { open } from "../../compiler/run/index.ts"
import { bench } from "./bench.ts"
import { bundle } from "./bundle.ts"

/** Bytes, minified and gzipped: what a page that carries the runner pays for it. */
const budget = 6 * 1024

test(`the runner stays within ${budget} bytes`, async () => {
  const code = await bundle("es")
  expect(code).not.toMatch(/\bimport\b/)
  expect(gzipSync(code, { level: 9 }).length).toBeLessThanOrEqual(budget)
})

test("a bare engine runs it: no timers, no process, no page, nothing but ES2022", async () => {
  const context = createContext(Object.create(null), { codeGeneration: { strings: false, wasm: false } })
  runInContext(await bundle("iife"), context)
  context.text = JSON.stringify(bench)
  const there = runInContext(
    `const job = ruleout.open(JSON.parse(text)).find("rail", "24100 mV").find("reseat", "gone")
     JSON.stringify([job.next, job.candidates, job.standing, job.steps, job.undo(0).record({ id: "K-1" })])`,
    context,
  )
  const job = open(bench).find("rail", "24100 mV").find("reseat", "gone")
  const here = [job.next, job.candidates, job.standing, job.steps, job.undo(0).record({ id: "K-1" })]
  expect(there).toBe(JSON.stringify(here))
})
