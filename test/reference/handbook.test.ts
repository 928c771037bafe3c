import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { isDeepStrictEqual } from "node:util"
import { describe, expect, test } from "vitest"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { Walker } from "../../compiler/cases/replay/walk.ts"
import { Labels } from "../../compiler/cases/report/labels.ts"
import { columnMapping, readRow } from "../../compiler/cases/table/read-row.ts"
import { type Compiled, compile } from "../../compiler/compile.ts"
import type { PlanEdge, PlanNode } from "../../compiler/plan/plan.ts"
import { type Example, examplesOf, said } from "../support/examples.ts"
import type { Plain } from "../support/plain.ts"

const folder = join(import.meta.dirname, "../../rulesets/handbook")
const pages = readdirSync(folder)
  .filter((name) => name.endsWith(".md"))
  .map((name) => ({ name, examples: examplesOf(name, readFileSync(join(folder, name), "utf8")) }))

/** A whole ruleset stands for itself; a change takes the place of its first line in the one before; else the frame is above. */
function whole(examples: readonly Example[], example: Example): string {
  if (/^ruleset /m.test(example.text)) return example.text
  if (example.info === "ruleout change") {
    const before = examples.find(({ text }) => /^ruleset /m.test(text))!.text
    const [line = ""] = example.text.split("\n")
    expect(before.split(line), line).toHaveLength(2)
    return before.replace(line, example.text)
  }
  return `${examples.find(({ info }) => info === "ruleout frame")!.text}\n${example.text}`
}

const known = new Map<string, Compiled>()

/** Each text is planned once. */
function compiled(text: string): Compiled {
  const read = (path: string) => (path === "example.ruleout" ? text : undefined)
  const result = known.get(text) ?? compile("example.ruleout", read)
  known.set(text, result)
  return result
}

describe.each(pages.filter(({ examples }) => examples.some(({ info }) => info.startsWith("ruleout"))))(
  "the handbook's $name",
  ({ examples }) => {
    for (const example of examples.filter(({ info }) => info.startsWith("ruleout"))) {
      test(`the example at line ${example.line} comes out as it says`, () => {
        const { diagnostics, plan, model } = compiled(whole(examples, example))
        const expected = example.results.find(({ info }) => info === "findings")?.text ?? ""
        if (example.info !== "ruleout frame") {
          expect(said(diagnostics.filter(({ severity }) => severity !== "note"))).toBe(expected)
        }
        for (const line of example.results.find(({ info }) => info === "plan")?.text.split("\n") ?? []) {
          const [what, value] = line.split(" ") as [string, string]
          const start = plan!.nodes[plan!.start]!
          if (what === "first") expect(start.do === "test" && model!.tests[start.test]!.name).toBe(value)
          else if (what === "exact") expect(String(plan!.exact)).toBe(value)
          else expect(plan!.expected.total).toBeCloseTo(Number(value), 9)
        }
      })
    }
  },
)

describe("the tutorial", () => {
  test("tells what its plan does: look, meter, try the head where the pack holds its voltage, and put the old one back", () => {
    const { examples } = pages.find(({ name }) => name === "from-a-notebook.md")!
    const change = examples.find(({ info }) => info === "ruleout change")!
    const { plan, model } = compiled(whole(examples, change))
    const test = (name: string) => model!.tests.findIndex((each) => each.name === name)
    const follow = (node: PlanNode | undefined, on: Plain<PlanEdge>["on"]): PlanNode | undefined => {
      const edge = (node as { edges?: readonly PlanEdge[] }).edges?.find((each) =>
        isDeepStrictEqual(each.on, on),
      )
      return edge?.to === undefined ? undefined : plan!.nodes[edge.to]
    }
    const looked = plan!.nodes[plan!.start]
    expect(looked).toMatchObject({ do: "test", test: test("look_contacts") })
    expect(follow(looked, [0])).toMatchObject({ do: "test", test: test("clean_contacts") })
    const metered = follow(looked, [1])
    expect(metered).toMatchObject({ do: "test", test: test("meter_pack") })
    const place = (name: string) => model!.places.findIndex((each) => each.name === name)
    const low = follow(metered, [0])
    expect(low).toMatchObject({ do: "test", test: test("try_pack") })
    expect(follow(low, "gone")).toMatchObject({ do: "keep", part: place("pack") })
    const tried = follow(metered, [1])
    expect(tried).toMatchObject({ do: "test", test: test("try_head") })
    const back = follow(tried, "gone")
    expect(back).toMatchObject({ do: "putBack", part: place("head") })
    expect(follow(back, "stays")).toMatchObject({ do: "replace", part: place("head") })
    expect(follow(back, "gone")).toMatchObject({ do: "close" })
  })

  test("replays the table of jobs as the page says", () => {
    const [table, said] = pages.find(({ name }) => name === "jobs-in-a-table.md")!.examples
    const { examples } = pages.find(({ name }) => name === "from-a-notebook.md")!
    const { graph } = compiled(whole(examples, examples.find(({ info }) => info === "ruleout change")!))
    const [header, ...rows] = table!.text.split("\n").map((line) => line.split(";"))
    const mapping = columnMapping(header!, graph!)
    expect(mapping.columns.filter(({ role }) => role.is === "nothing")).toEqual([])
    const cases = rows.map((cells, i) => readRow(mapping, cells, i + 2, graph!).case!)
    const walker = new Walker(indexGraph(graph!))
    const labels = new Labels(graph!)
    const walks = cases.map((each) => walker.walk(each))
    const fixed = walks.filter(({ ending }) => ending.kind === "closed" && ending.fixed)
    const open = walks.flatMap((each, i) =>
      each.open
        ? [`open ${cases[i]!.id} asks for ${labels.action(each.open.action).replaceAll("`", "")}`]
        : [],
    )
    expect(said!.text.split("\n")).toEqual([`fixed ${fixed.length} of ${walks.length}`, ...open])
  })

  test("every page that the index names is there", () => {
    const index = readFileSync(join(folder, "README.md"), "utf8")
    const named = [...index.matchAll(/\]\(([a-z-]+\.md)\)/g)].map(([, name]) => name)
    expect(named.sort()).toEqual(pages.map(({ name }) => name).filter((name) => name !== "README.md"))
  })
})
