import { Ajv2020 } from "ajv/dist/2020.js"
import { expect, test } from "vitest"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { graphText } from "../../compiler/graph/text.ts"
import { open } from "../../compiler/run/index.ts"
import { kiosk } from "../run/kiosk.ts"

// `prefixItems` followed by more of other items, as in `["and", …]`, is no mistake.
const ajv = new Ajv2020({ strict: true, strictTuples: false, allowUnionTypes: true })

test("the schema takes a graph, and refuses what is none", () => {
  const valid = ajv.compile(graphSchema)
  expect(valid(kiosk), JSON.stringify(valid.errors)).toBe(true)
  for (const [key, value] of [
    ["format", "ruleout-graph/1"],
    ["places", [{ name: "a", label: "a", kind: "thing" }]],
    ["faults", [{ name: "a", label: "a", place: -1, odds: 1 }]],
    ["nodes", []],
    ["nodes", [{ do: "verdict", candidates: [] }]],
    [
      "nodes",
      [
        {
          do: "replace",
          part: 0,
          cost: 1,
          costToGo: 1,
          edges: [{ on: "mended", chance: 1, rulesOut: [], because: [] }],
        },
      ],
    ],
    ["expected", { total: 1 }],
    ["model", { ...kiosk.model, nevers: [["xor", ["in", 0, [0]]]] }],
    ["model", { ...kiosk.model, rules: [{ when: ["in", 0, [0]], out: [1] }] }],
    ["trust", 90],
    ["start", undefined],
  ] as const)
    expect(valid(JSON.parse(JSON.stringify({ ...kiosk, [key]: value }))), key).toBe(false)
})

test("the text of a graph has sorted keys, reads back as it was, and is the same whatever the order of its fields", () => {
  const text = graphText(kiosk)
  expect(JSON.parse(text)).toEqual(kiosk)
  const reversed = Object.fromEntries(Object.entries(kiosk).reverse()) as typeof kiosk
  expect(graphText(reversed)).toBe(text)
  const keys = [...text.matchAll(/^"(\w+)":/gm)].map((match) => match[1])
  expect(keys).toEqual([...keys].sort())
  expect(open(JSON.parse(text)).next).toMatchObject({ by: "graph" })
})
