import type { Page } from "playwright-core"
import { beforeAll, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { writeMermaid } from "../../compiler/ship/index.ts"
import { isStep, nodeTitle } from "../../compiler/ship/labels.ts"
import { TILL } from "../cases/till.ts"
import { indexed } from "../support/plain.ts"
import { browser } from "./browser.ts"
import { drawn, withMermaid } from "./mermaid.ts"
import { flagship, kiosk } from "./parts.ts"

/** The flowcharts, drawn by Mermaid with the limits that it has if nobody raises them. */
const openPage = browser()
const graph = flagship()
let page: Page
beforeAll(async () => {
  page = await withMermaid(await openPage())
}, 60_000)

const packed = (text: string) => text.replace(/\s/g, "")
const waysOf = ({ nodes }: Graph) =>
  new Set(
    nodes.flatMap((node, n) =>
      isStep(node) ? node.edges.map(({ to }) => `n${n} ${to === undefined ? "done" : `n${to}`}`) : [],
    ),
  )

test.each([
  { name: "the kiosk", of: kiosk },
  { name: "the till", of: compile("till.ruleout", () => TILL, { effort: 1000 }).graph! },
])("$name: every node with its words, and every way from one to another", async ({ of }) => {
  const text = writeMermaid(of)
  expect(text).not.toContain("%%")
  const { boxes, arrows } = await drawn(page, text)
  expect(Object.keys(boxes).filter((box) => box !== "done")).toHaveLength(of.nodes.length)
  expect(boxes.done).toContain("Job done")
  for (const [n, node] of of.nodes.entries())
    expect(packed(boxes[`n${n}`]!)).toContain(packed(nodeTitle(of, node)))
  expect(arrows.map(([way]) => way).sort()).toEqual([...waysOf(of)].sort())
  for (const [, label] of arrows) expect(label).toMatch(/\d %$/)
})

/** Flagships one after another, far more than a page takes: where one hands over, the next begins. */
function oneAfterAnother(count: number): Graph {
  const size = graph.nodes.length
  const begin = (at: number) => ({
    do: "test" as const,
    test: 0,
    cost: 1,
    costToGo: 1,
    edges: [{ on: [0], chance: 1, to: at, rulesOut: [], because: [] }],
  })
  const nodes = Array.from({ length: count }, (_, i) =>
    graph.nodes.map((node) => {
      if (isStep(node))
        return {
          ...node,
          edges: node.edges.map((edge) =>
            edge.to === undefined ? edge : { ...edge, to: edge.to + i * size },
          ),
        }
      return node.do === "handover" && i < count - 1 ? begin((i + 1) * size) : node
    }),
  )
  return { ...graph, nodes: indexed<Graph["nodes"]>(nodes.flat()) }
}

test("a graph beyond the limits is cut to what is drawn, and says what it leaves out", async () => {
  const text = writeMermaid(oneAfterAnother(5))
  expect(text).toMatch(/^%% [\d,]+ nodes left out; [\d.]+ % of jobs stay within the drawing\./)
  const { boxes, arrows } = await drawn(page, text)
  const steps = text.split("\n").filter((line) => /^ {2}n\d+[[({]/.test(line))
  // One more for the end of the job.
  expect(Object.keys(boxes)).toHaveLength(steps.length + 1)
  // It goes near what Mermaid takes, 50,000 characters and 500 arrows, and never beyond.
  const used = Math.max(text.length / 50_000, arrows.length / 500)
  expect(used).toBeGreaterThan(0.5)
  expect(used).toBeLessThanOrEqual(1)
})

test("the limits are Mermaid's: it draws up to them, and nothing beyond", async () => {
  const arrows = (count: number) => `flowchart TD\n${"  n0 --> n1\n".repeat(count)}`
  expect((await drawn(page, arrows(500))).arrows).toHaveLength(500)
  await expect(drawn(page, arrows(501))).rejects.toThrow("500 edges")
  const filled = (length: number) => `${'flowchart TD\n  n0["'.padEnd(length - 2, "word ")}"]`
  expect((await drawn(page, filled(50_000))).boxes.n0).toMatch(/^(word ?)+/)
  expect(Object.values((await drawn(page, filled(50_001))).boxes)).toEqual([
    "Maximum text size in diagram exceeded",
  ])
})
