import { createContext, runInContext } from "node:vm"
import { gzipSync } from "node:zlib"
import { expect, test } from "vitest"
import { open } from "../../compiler/run/index.ts"
import { bundleRunner } from "../../playground/build/bundle-runner.ts"
import { unplanned } from "./kiosk.ts"

/** Bytes, minified and gzipped: what a page that carries the runner pays for it. */
const budget = 14.35 * 1024

test(`the runner stays within ${budget} bytes`, async () => {
  const code = await bundleRunner("compiler/run/index.ts", "es")
  expect(code).not.toMatch(/\bimport\b/)
  expect(gzipSync(code, { level: 9 }).length).toBeLessThanOrEqual(budget)
})

test("a bare engine runs it: no timers, no process, no page, nothing but ES2022", async () => {
  const context = createContext(Object.create(null), { codeGeneration: { strings: false, wasm: false } })
  runInContext(await bundleRunner("compiler/run/index.ts", "iife"), context)
  context.text = JSON.stringify(unplanned)
  const work = `const job = open(JSON.parse(text)).find({ reading: "rail" }, "24100 mV").find({ test: "reseat" }, "gone")
    JSON.stringify([job.next, job.candidates, job.standing, job.outlook, job.steps, job.undo(0).record({ id: "K-1" })])`
  const there = runInContext(`const { open } = ruleout; ${work}`, context)
  const job = open(unplanned).find({ reading: "rail" }, "24100 mV").find({ test: "reseat" }, "gone")
  const record = job.undo(0).record({ id: "K-1" })
  const here = [job.next, job.candidates, job.standing, job.outlook, job.steps, record]
  expect(there).toBe(JSON.stringify(here))
})
