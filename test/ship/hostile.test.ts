import { createHash } from "node:crypto"
import fc from "fast-check"
import MarkdownIt from "markdown-it"
import { expect, test } from "vitest"
import { graphText } from "../../compiler/graph/text.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import {
  writeDmn,
  writeDot,
  writeJsonSchema,
  writeMarkdown,
  writeMermaid,
  writeModule,
  writePage,
  writeSvg,
} from "../../compiler/ship/index.ts"
import { nodeTitle } from "../../compiler/ship/labels.ts"
import { graphviz } from "../support/graphviz.ts"
import { browser } from "./browser.ts"
import { strangersTexts, withTexts } from "./hostile.ts"
import { drawn, withMermaid } from "./mermaid.ts"
import { kiosk, moduleParts, pageParts } from "./parts.ts"
import { elementsOf, validateDmn } from "./xml.ts"

/** A stranger's words, whatever they are, stay words: what a reader finds has the shape of the honest graph's. */
const openPage = browser()

/** Without what XML cannot hold and what we put into one line, the text as a reader gives it back. */
const unseen =
  /[\p{Cc}\p{Zl}\p{Zp}\p{Surrogate}\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffd-\uffff\s]/gu
const seen = (text: string) => text.replace(unseen, "")

function check(runs: number, holds: (graph: Graph) => void | Promise<void>): Promise<void> {
  const property = fc.asyncProperty(strangersTexts, async (texts) => holds(withTexts(kiosk, texts)))
  return fc.assert(property, { numRuns: runs })
}

test("in a page: the same elements, the policy whole, the graph as it was", async () => {
  const page = await openPage()
  await page.goto("about:blank")
  const honest = await shapeOf(writePage(kiosk, pageParts))
  expect(honest.tags).toContain("script#graph")
  await check(30, async (graph) => {
    const { tags, policy, title, data, attributes } = await shapeOf(writePage(graph, pageParts))
    expect({ tags, policy, attributes }).toEqual({ ...honest, title: undefined, data: undefined })
    expect(seen(title)).toBe(seen(graph.ruleset.title))
    expect(data).toBe(JSON.stringify(JSON.parse(graphText(graph))))
  })

  async function shapeOf(html: string) {
    return page.evaluate((text) => {
      const there = new DOMParser().parseFromString(text, "text/html")
      const all = [...there.querySelectorAll("*")]
      return {
        tags: all.map((each) => each.localName + (each.id && `#${each.id}`)),
        attributes: all.flatMap((each) => [...each.attributes].map(({ name }) => name)),
        policy: there.querySelector("meta[http-equiv]")!.getAttribute("content"),
        title: there.title,
        data: JSON.stringify(JSON.parse(there.getElementById("graph")!.textContent!)),
      }
    }, html)
  }
}, 60_000)

test("the page's policy names the digests of what stands between its tags", () => {
  const html = writePage(kiosk, pageParts)
  const inside = [...html.matchAll(/<(script|style)>([\s\S]*?)<\/\1>/g)].map(
    ([, tag, text]) => [tag!, text!] as const,
  )
  expect(inside).toHaveLength(2)
  for (const [tag, text] of inside)
    expect(html).toContain(`${tag}-src 'sha256-${createHash("sha256").update(text).digest("base64")}'`)
})

test("in a picture: only what a picture is made of", async () => {
  const known = ["svg", "title", "desc", "style", "rect", "text", "g", "path", "tspan"]
  const named = /^(viewBox|width|height|role|aria-labelledby|id|class|x|y|rx|d|dy|stroke-width)$/
  const page = await openPage()
  await page.goto("about:blank")
  await check(30, async (graph) => {
    const svg = writeSvg(graph)
    const all = elementsOf(svg)
    for (const { name, attributes } of all) {
      expect(known).toContain(name)
      for (const key of Object.keys(attributes)) expect(key).toMatch(named)
    }
    expect(seen(all.find(({ name }) => name === "title")!.text)).toBe(seen(graph.ruleset.title))
    const inPage = await page.evaluate((text) => {
      const there = document.createElement("div")
      there.innerHTML = text
      return [...there.querySelectorAll("*")].map((each) => each.localName.toLowerCase())
    }, svg)
    expect(inPage.filter((tag) => !known.includes(tag))).toEqual([])
  })
})

test("in dot: the same nodes and edges with no attributes but ours", () => {
  const read = (graph: Graph) => JSON.parse(graphviz(writeDot(graph), "dot_json"))
  const honest = read(kiosk)
  const shape = ({ objects, edges }: typeof honest) => ({
    objects: objects.map((each: object) => ({
      name: (each as { name: string }).name,
      keys: Object.keys(each),
    })),
    edges: edges.map((each: { tail: number; head: number }) => ({ ...each, label: "", penwidth: "" })),
  })
  return check(25, (graph) => {
    const there = read(graph)
    expect(shape(there)).toEqual(shape(honest))
    const label = there.objects[0].label
      .replace(/\\(.)/g, (_: string, next: string) => (next === "n" ? " " : next))
      .replaceAll("&amp;", "&")
    const { nodes, tests } = graph
    const start = nodes[graph.start]!
    expect(seen(label)).toContain(seen(start.do === "test" ? tests[start.test]!.instruction : ""))
  })
})

test("in a card: no markup but ours", async () => {
  const parser = new MarkdownIt({ html: true, linkify: true, typographer: false })
  const shape = (text: string) =>
    parser
      .parse(text, {})
      .flatMap((token) => [
        token.type,
        ...(token.children ?? [])
          .map(({ type }) => type)
          .filter((type) => !/^(text|strong|text_special)/.test(type)),
      ])
  const honest = shape(writeMarkdown(kiosk))
  expect(honest).toContain("table_open")
  await check(150, (graph) => {
    // An empty text leaves empty places, which is no harm, and no shape to compare.
    const filled = JSON.parse(JSON.stringify(graph), (_, value) =>
      value === "" || value === " " ? "x" : value,
    )
    const there = shape(writeMarkdown(filled))
    expect(there.filter((type) => !honest.includes(type))).toEqual([])
    const counted = (types: string[]) =>
      types.filter((type) => /^(heading|table|tr|td|bullet|blockquote)/.test(type))
    expect(counted(there).filter((type) => !type.startsWith("td"))).toEqual(
      counted(honest).filter((type) => !type.startsWith("td")),
    )
  })
})

test("in a flowchart: every line one of ours, and in texts only letters, digits and numbered characters", () => {
  const text = String.raw`"(?:[\p{L}\p{M}\p{N} .,°…]|#\d+;|<br>)*"`
  const node = new RegExp(
    String.raw`^  n\d+(?:\[${text}\]|\[/${text}[/\\]\]|\[\[${text}\]\]|\(\[${text}\]\)|\{\{${text}\}\}|\(${text}\))$`,
    "u",
  )
  const way = new RegExp(String.raw`^  n\d+ -->\|${text}\| (?:n\d+|done)$`, "u")
  const honest = writeMermaid(kiosk).split("\n").length
  return check(150, (graph) => {
    const lines = writeMermaid(graph).trimEnd().split("\n")
    expect(lines.length).toBe(honest - 1)
    const ours = ["flowchart TD", '  done(("Job done"))']
    expect(lines.filter((line) => !ours.includes(line) && !node.test(line) && !way.test(line))).toEqual([])
  })
})

test("in a flowchart that is drawn: the same boxes and arrows, the words as they were", async () => {
  const page = await withMermaid(await openPage())
  const honest = await drawn(page, writeMermaid(kiosk))
  await check(12, async (graph) => {
    const { boxes, arrows, tags } = await drawn(page, writeMermaid(graph))
    expect(Object.keys(boxes)).toEqual(Object.keys(honest.boxes))
    expect(arrows.map(([way]) => way)).toEqual(honest.arrows.map(([way]) => way))
    expect(tags.filter((tag) => !honest.tags.includes(tag))).toEqual([])
    // A mark that cannot be seen keeps a backslash from an n after it.
    const words = seen(nodeTitle(graph, graph.nodes[graph.start]!)).slice(0, 80)
    expect(seen(boxes.n0!).replaceAll("\u2060", "")).toContain(words)
  })
}, 60_000)

test("in a decision model: valid, the same elements, the names as they were", () => {
  const honest = elementsOf(writeDmn(kiosk)).map(({ name }) => name)
  return check(60, (graph) => {
    const xml = writeDmn(graph)
    validateDmn(xml)
    const all = elementsOf(xml)
    expect(all.map(({ name }) => name)).toEqual(honest)
    const labels = all
      .filter(({ name }) => name === "itemDefinition")
      .map(({ attributes }) => attributes.label)
    expect(seen(labels[0] ?? "")).toBe(seen(graph.readings[0]!.name))
  })
})

test("in a module: the graph as it was, and nothing run", async () => {
  await check(40, async (graph) => {
    const text = writeModule(graph, moduleParts)
    const shipped = await import(`data:text/javascript,${encodeURIComponent(text)}`)
    expect(JSON.stringify(shipped.graph)).toBe(JSON.stringify(JSON.parse(graphText(graph))))
    expect(text).not.toMatch(/<\/script|<!--/i)
  })
  expect(({} as Record<string, unknown>).alert).toBeUndefined()
})

test("in a schema: JSON, with the names in it", async () => {
  await check(100, (graph) => {
    const schema = JSON.parse(writeJsonSchema(graph))
    expect(schema.properties.complaint.const).toBe(graph.complaint.name)
  })
})

test("in a job: names that every object has are names like any other", () => {
  const names = ["__proto__", "constructor", "toString", "hasOwnProperty", "prototype"]
  let n = 0
  const graph = JSON.parse(JSON.stringify(kiosk), (key, value) =>
    key === "name" && typeof value === "string"
      ? `${names[n % names.length]}${n++ < names.length ? "" : n}`
      : value,
  ) as Graph
  graph.readings.forEach((reading, r) => {
    Object.assign(reading, { name: names[r] })
  })
  const job = open(graph)
    .find({ reading: "toString" }, "24.1 V")
    .find({ reading: "__proto__" }, "yes")
    .find({ reading: "constructor" }, "yes")
  expect(job.log).toHaveLength(3)
  const record = JSON.parse(JSON.stringify(job.record({ id: "K-1" })))
  expect(Object.keys(record.told)).toEqual(["__proto__"])
  expect(Object.getPrototypeOf({})).toBe(Object.prototype)
  expect(({} as Record<string, unknown>).yes).toBeUndefined()
  expect(Object.keys(Object.prototype)).toEqual([])
})
