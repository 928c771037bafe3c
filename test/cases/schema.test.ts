import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { Ajv2020 } from "ajv/dist/2020.js"
import { expect, test } from "vitest"
import { readCase } from "../../compiler/cases/record/read.ts"
import { caseSchema } from "../../compiler/cases/record/schema.ts"
import { open } from "../../compiler/run/index.ts"
import { graph } from "./bench.ts"

const valid = new Ajv2020({ strict: true, allowUnionTypes: true, formats: { date: true } }).compile(
  caseSchema,
)
const rulesets = join(import.meta.dirname, "../../rulesets")

test("every shipped case keeps to the schema", () => {
  const files = readdirSync(rulesets, { recursive: true, encoding: "utf8" }).filter((name) =>
    name.endsWith(".cases.jsonl"),
  )
  expect(files.length).toBeGreaterThan(0)
  for (const file of files)
    for (const line of readFileSync(join(rulesets, file), "utf8").split("\n").filter(Boolean))
      expect(valid(JSON.parse(line)), `${file}: ${line}\n${JSON.stringify(valid.errors)}`).toBe(true)
})

test("so does what the runner records", () => {
  const job = open(graph)
    .find("moved", "yes")
    .find("rail", "7 V")
    .find("look_glow", "yes", 2)
    .find("try_board", "gone")
  const record = JSON.parse(JSON.stringify(job.record({ id: "K-1", came_back: false })))
  expect(record.steps).toHaveLength(3)
  expect(valid(record), JSON.stringify(valid.errors)).toBe(true)
  expect(readCase(JSON.stringify(record), 1, graph).diagnostics).toEqual([])
})

test("what the schema refuses, reading remarks on", () => {
  for (const wrong of [
    {},
    { id: "" },
    { id: "a", date: "9.3.2026" },
    { id: "a", told: ["yes"] },
    { id: "a", steps: [{ test: "look_glow" }] },
    { id: "a", steps: [{ test: "look_glow", found: "yes", minutes: -1 }] },
    { id: "a", fault: 4 },
    { id: "a", came_back: "no" },
  ]) {
    expect(valid(wrong), JSON.stringify(wrong)).toBe(false)
    expect(readCase(JSON.stringify(wrong), 1, graph).diagnostics, JSON.stringify(wrong)).not.toEqual([])
  }
})
