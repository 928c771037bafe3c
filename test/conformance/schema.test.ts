import { Ajv2020 } from "ajv/dist/2020.js"
import { expect, test } from "vitest"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { bench } from "./bench.ts"

// `prefixItems` followed by more of other items, as in `["and", …]`, is no mistake.
const ajv = new Ajv2020({ strict: true, strictTuples: false, allowUnionTypes: true })

test("the schema takes a graph, and refuses what is none", () => {
  const valid = ajv.compile(graphSchema)
  expect(valid(JSON.parse(JSON.stringify(bench))), JSON.stringify(valid.errors)).toBe(true)
  for (const [key, value] of [
    ["format", "ruleout-graph/2"],
    ["places", [{ name: "a", label: "a", kind: "thing" }]],
    ["faults", [{ name: "a", label: "a", place: -1, odds: 1 }]],
    ["nodes", []],
    ["nodes", [{ do: "verdict", remedy: { kind: "replace" }, chance: 1, candidates: [], proofs: [] }]],
    ["model", { ...bench.model, nevers: [["xor", ["in", 0, [0]]]] }],
    ["trust", 90],
    ["start", undefined],
  ] as const)
    expect(valid(JSON.parse(JSON.stringify({ ...bench, [key]: value }))), key).toBe(false)
})
