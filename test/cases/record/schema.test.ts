import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { Ajv2020 } from "ajv/dist/2020.js"
import { expect, test } from "vitest"
import { graphWithoutPlan } from "../../../compiler/cases/fit/graph-without-plan.ts"
import { readCase, readCases } from "../../../compiler/cases/record/read.ts"
import { caseSchema } from "../../../compiler/cases/record/schema.ts"
import { bind } from "../../../compiler/model/bind.ts"
import { load } from "../../../compiler/model/load.ts"
import { open } from "../../../compiler/run/index.ts"
import { readText } from "../../../rulesets/read-model.ts"
import { graph } from "../small-machine.ts"

const valid = new Ajv2020({ strict: true, allowUnionTypes: true, formats: { date: true } }).compile(
  caseSchema,
)
const rulesets = join(import.meta.dirname, "../../../rulesets")

test("every shipped case keeps to the schema", () => {
  const files = readdirSync(rulesets, { recursive: true, encoding: "utf8" }).filter((name) =>
    name.endsWith(".cases.jsonl"),
  )
  expect(files.length).toBeGreaterThan(0)
  for (const file of files)
    for (const line of readFileSync(join(rulesets, file), "utf8").split("\n").filter(Boolean))
      expect(valid(JSON.parse(line)), `${file}: ${line}\n${JSON.stringify(valid.errors)}`).toBe(true)
})

test("every shipped case is read, all of it: only faults that the ruleset does not list are remarked on", () => {
  let cases = 0
  for (const folder of readdirSync(rulesets)) {
    const file = (ending: string) => join(rulesets, folder, `${folder}${ending}`)
    if (!existsSync(file(".cases.jsonl"))) continue
    const { trees, sources } = load(file(".ruleout"), readText)
    const shipped = graphWithoutPlan(bind(trees, sources).model!)
    for (const { case: record, diagnostics } of readCases(
      readFileSync(file(".cases.jsonl"), "utf8"),
      shipped,
    )) {
      expect(diagnostics.filter(({ code }) => code !== "case-fault")).toEqual([])
      const { confirmed } = record!
      // A fault of another name is remarked on; a record that says `unlisted` itself is not.
      const isNamed = confirmed.kind === "unlisted" && confirmed.name !== "unlisted"
      expect(isNamed).toBe(diagnostics.length > 0)
      expect(confirmed.kind).not.toBe("unknown")
      cases++
    }
  }
  expect(cases).toBeGreaterThan(300)
})

test("so does what the runner records", () => {
  const job = open(graph)
    .find({ test: "moved" }, "yes")
    .find({ reading: "rail" }, "7 V")
    .find({ test: "look_glow" }, "yes", { minutes: 2 })
    .find({ test: "try_board" }, "stays", { leftIn: true })
    .find({ test: "try_panel" }, "gone")
    .find({ takeOut: "board" }, "done")
    .find({ look: true }, "gone")
    .find({ putBack: "panel" }, "stays")
    .find({ replace: "panel" }, "gone")
    .find({ close: true }, "fails")
    .find({ fix: "plug_loose" }, "gone")
    .find({ close: true }, "holds")
  const record = JSON.parse(JSON.stringify(job.record({ id: "K-1", faults: ["panel_dead", "plug_loose"] })))
  expect(record.steps).toHaveLength(11)
  expect(valid(record), JSON.stringify(valid.errors)).toBe(true)
  const { case: read, diagnostics } = readCase(JSON.stringify(record), 1, graph)
  expect(diagnostics).toEqual([])
  expect(read!.steps.map((step) => step.do)).toEqual([
    "read",
    "test",
    "test",
    "test",
    "takeOut",
    "look",
    "putBack",
    "replace",
    "close",
    "fix",
    "close",
  ])
})

test("what the schema refuses, reading reports", () => {
  for (const wrong of [
    {},
    { id: "" },
    { id: "a", date: "9.3.2026" },
    { id: "a", told: ["yes"] },
    { id: "a", steps: [{ test: "look_glow" }] },
    { id: "a", steps: [{ test: "look_glow", found: "yes", minutes: -1 }] },
    { id: "a", fault: 4 },
    { id: "a", faults: [4] },
    { id: "a", steps: [{ replace: "board" }] },
    { id: "a", steps: [{ close: true, found: "gone" }] },
    { id: "a", came_back: "no" },
  ]) {
    expect(valid(wrong), JSON.stringify(wrong)).toBe(false)
    expect(readCase(JSON.stringify(wrong), 1, graph).diagnostics, JSON.stringify(wrong)).not.toEqual([])
  }
})
