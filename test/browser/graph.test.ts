import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { differenceOf } from "../../compiler/graph/difference.ts"
import { costToGo, isStep, nodeTitle } from "../../playground/graph/labels.ts"
import { figuresOf } from "../../playground/graph/node-figures.ts"
import { searchText } from "../../playground/graph/sources.ts"
import { money, percent } from "../../playground/ui/figures.ts"
import { faults } from "./support/axe.ts"
import { LAMP_RULED } from "./support/lamp.ts"
import { downloaded, paste, planned, playground, shared, soon, station } from "./support/page.ts"

const visit = playground()

test("the picture is the graph: every node, ways as wide as their chance, folds, a search, figures and reasons", async () => {
  const { graph: made, plan: found } = compile("shared.ruleout", () => LAMP_RULED)
  const [graph, plan] = [made!, found!]
  const figures = figuresOf(graph)
  const { page } = await visit({ at: await shared(LAMP_RULED), viewport: { width: 1800, height: 1100 } })
  await page.locator(".instruction").waitFor()
  await station(page, "Graph")
  const nodes = page.locator(".canvas .node")
  await nodes.first().waitFor()
  const fold = page.getByLabel("Fold below")

  await fold.selectOption("nothing")
  await page.getByText(`${graph.nodes.length} of ${graph.nodes.length} nodes`).waitFor()
  // What is laid out anew can be behind the count: it is fitted to the window once it is there.
  await soon(async () => {
    await page.getByRole("button", { name: "Whole" }).click()
    return nodes.count()
  }).toBe(graph.nodes.length)
  const widths = graph.nodes.flatMap((node, at) =>
    isStep(node)
      ? node.edges.flatMap(({ to, chance }) =>
          to === undefined ? [] : [1 + 11 * Math.sqrt(figures.reach[at]! * chance)],
        )
      : [],
  )
  const drawn = await page
    .locator(".canvas path.edge:not(.thin)")
    .evaluateAll((ways) => ways.map((way) => way.getAttribute("stroke-width")!))
  expect(drawn.toSorted()).toEqual(widths.map((width) => width.toFixed(1)).toSorted())
  for (const kind of ["replace", "keep", "close", "putBack", "takeOut", "handover"] as const)
    expect(await page.locator(`.canvas .node.${kind}`).count(), kind).toBe(
      graph.nodes.filter((node) => node.do === kind).length,
    )

  const detail = page.locator(".detail")
  const title = detail.locator("h2")
  const start = graph.nodes[graph.start]!
  if (!isStep(start)) throw new Error("something is done at first")
  expect(await title.textContent()).toBe(nodeTitle(graph, start))
  expect(await detail.locator(".facts").textContent()).toContain(costToGo(graph, start))
  const outcomes = await detail.locator(".outcomes .number").allTextContents()
  expect(outcomes).toEqual(start.edges.map(({ chance }) => percent(chance)))
  await detail.getByText("Why this step").waitFor()
  const planned = plan.nodes[plan.start]!
  const dearer = "second" in planned ? planned.second!.costToGo - planned.costToGo : 0
  expect(dearer).toBeGreaterThan(0)
  expect(await detail.locator("section", { hasText: "Cheapest alternative" }).textContent()).toContain(
    `${money(dearer, graph.money)} more a job`,
  )

  const wanted = graph.nodes.flatMap((_, at) => (searchText(graph, at).includes("meter") ? [at] : []))
  expect(wanted.length).toBeGreaterThan(0)
  await page.getByRole("searchbox").fill("meter")
  await page.getByText(`${wanted.length} found`).waitFor()
  expect(await page.locator(".canvas .node.found").count()).toBe(wanted.length)
  await page.keyboard.press("Enter")
  await soon(() => title.textContent()).toBe("Meter the head's plug, light switched on")
  expect(await detail.textContent()).toContain("Because a full voltage clears the battery")
  expect(await detail.textContent()).toContain("Hot lamp head: let it cool first.")

  await page.getByRole("searchbox").fill("keep")
  await page.keyboard.press("Enter")
  await soon(() => title.textContent()).toMatch(/^Keep the shop's part in: /)
  await detail.getByText("Of it the part").waitFor()
  await page.getByRole("searchbox").fill("close")
  await page.keyboard.press("Enter")
  await soon(() => title.textContent()).toBe("Close the job")
  await detail.getByText("Proof run passes").waitFor()
  expect(await detail.locator(".outcomes li").first().textContent()).toContain("the job ends")
  await page.getByRole("searchbox").fill("")

  await fold.selectOption("10\u00a0% of jobs")
  await soon(() => nodes.count()).toBeLessThan(graph.nodes.length)
  const few = await nodes.count()
  await page.getByRole("button", { name: "Whole" }).click()
  await page.locator(".canvas .stub text").first().click()
  await soon(() => page.locator(".graph-count").textContent()).not.toBe(
    `${few} of ${graph.nodes.length} nodes`,
  )

  // Where the camera was there may be nothing of the new picture; the chosen node is brought into view.
  await page.setViewportSize({ width: 1000, height: 500 })
  await page.locator(".canvas").focus()
  for (let i = 0; i < 8; i++) await page.keyboard.press("+")
  await fold.selectOption("nothing")
  const canvas = (await page.locator(".canvas").boundingBox())!
  await soon(async () => {
    const node = await page.locator(".canvas .node.chosen").boundingBox()
    return (
      node !== null &&
      node.x >= canvas.x &&
      node.y >= canvas.y &&
      node.x + node.width <= canvas.x + canvas.width &&
      node.y + node.height <= canvas.y + canvas.height
    )
  }).toBe(true)
})

test("beside the picture an outline and a list of what was found; the job's way is lit, and all of it is there again", async () => {
  const graph = compile("shared.ruleout", () => LAMP_RULED).graph!
  const { page } = await visit({ at: await shared(LAMP_RULED) })
  await page.locator(".instruction").waitFor()
  const start = graph.nodes[graph.start]!
  if (!isStep(start)) throw new Error("something is done at first")
  await page
    .locator(".step")
    .getByRole("button", { name: /^Stays/ })
    .click()
  await page.locator(".log li").waitFor()
  const second = graph.nodes[start.edges.find(({ on }) => on === "stays")!.to!]!
  await station(page, "Graph")
  await page.locator(".canvas .node").first().waitFor()
  await soon(() => page.locator(".canvas .node.on-path").count()).toBe(2)

  await page.getByRole("button", { name: "Outline" }).click()
  const outline = page.getByRole("navigation", { name: "Outline of the plan" })
  await outline.getByRole("button", { name: "Unfold all" }).click()
  // Every node stands once in full; other ways to it refer to it.
  const own = outline.locator("[aria-expanded]")
  expect(await own.count()).toBe(graph.nodes.filter(isStep).length)
  expect(await outline.locator(".outline-line.path").allTextContents()).toEqual([
    expect.stringContaining(nodeTitle(graph, start)),
    expect.stringContaining(nodeTitle(graph, second)),
  ])
  await outline.getByRole("button", { name: "Fold", exact: true }).click()
  expect(await own.count()).toBeLessThan(graph.nodes.filter(isStep).length)
  await outline.locator(".outline-line.path .outline-go").last().click()
  await soon(() => page.locator(".detail h2").textContent()).toBe(nodeTitle(graph, second))

  await page.getByRole("searchbox").fill("output")
  const hits = graph.nodes.flatMap((_, at) => (searchText(graph, at).includes("output") ? [at] : []))
  // The chosen step is one of them.
  await page.getByText(new RegExp(`^\\d+ of ${hits.length}$`)).waitFor()
  await page.locator(".hits summary").click()
  expect(await page.locator(".hits li").count()).toBe(hits.length)
  expect(await page.locator(".hits li").first().textContent()).toContain("because of output")
  await page.locator(".hits li button").last().click()
  await page.getByText(`${hits.length} of ${hits.length}`).waitFor()
  expect(await faults(page)).toEqual([])

  await station(page, "Bench")
  await station(page, "Graph")
  expect(await page.getByRole("searchbox").inputValue()).toBe("output")
  await outline.waitFor()
  await page.emulateMedia({ media: "print" })
  expect(await page.locator(".canvas, .toolbar").filter({ visible: true }).count()).toBe(0)
  expect(await outline.isVisible()).toBe(true)
})

test("two versions are held against each other, a map leads about, and paper gets the whole picture", async () => {
  const changed = LAMP_RULED.replace("in battery   odds 1", "in battery   odds 30")
  const [old, fresh] = [LAMP_RULED, changed].map((text) => compile("shared.ruleout", () => text).graph!)
  const { partings, same } = differenceOf(old!, fresh!)
  expect(partings.length).toBeGreaterThan(0)
  const { page } = await visit({ at: await shared(LAMP_RULED) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  await downloaded(page, "Graph")
  await station(page, "Write")
  await page.locator(".monaco-editor .view-line").first().waitFor()
  await paste(page, changed)
  await planned(page)
  await station(page, "Graph")
  await page.locator(".canvas .node").first().waitFor()
  await page.getByLabel("Compare with").selectOption("the version shipped last")
  const comparison = page.locator(".comparison")
  await comparison.getByText(`${percent(same)} of jobs go the same way`).waitFor()
  expect(await comparison.textContent()).toContain("expected cost of a job")
  const parted = comparison.locator(".outcomes button")
  expect(await parted.count()).toBe(Math.min(30, partings.length))
  await parted.first().click()
  const node = fresh!.nodes[partings[0]!.node!]!
  await soon(() => page.locator(".detail h2").last().textContent()).toBe(nodeTitle(fresh!, node))
  await soon(() => page.locator(".canvas .node.found").count()).toBeGreaterThan(0)
  expect(await faults(page)).toEqual([])
  // An earlier version is planned anew.
  const earlier = page.getByLabel("Compare with").locator("option")
  await page.getByLabel("Compare with").focus()
  await soon(() => earlier.count()).toBeGreaterThan(3)
  await page.getByLabel("Compare with").selectOption({ index: 2 })
  await comparison.getByText(/of jobs go the same way|Nothing changes/).waitFor()
  await comparison.getByRole("button", { name: "Close" }).click()
  expect(await page.locator(".canvas .node.found").count()).toBe(0)

  // From afar a node says where the work is, how many jobs come there, and what it costs from there.
  await page.locator(".canvas").focus()
  for (let i = 0; i < 6; i++) await page.keyboard.press("-")
  const far = page.locator(".canvas .node .afar")
  await far.first().waitFor()
  expect((await far.allTextContents()).join(" ")).toMatch(/(?:lamp head|battery p…) [\d.]+\s% · \d+/)

  const camera = () => page.locator(".canvas svg > g").first().getAttribute("transform")
  const before = await camera()
  await page.locator(".minimap").click({ position: { x: 150, y: 90 } })
  await soon(camera).not.toBe(before)

  const shown = Number((await page.locator(".graph-count").textContent())!.split(" ")[0])
  await page.emulateMedia({ media: "print" })
  await page.locator(".printed figure").first().waitFor()
  const drawn = await page
    .locator(".printed [data-node]")
    .evaluateAll((all) => all.map((node) => node.getAttribute("data-node")))
  expect(new Set(drawn).size).toBe(shown)
  expect(await page.getByRole("navigation", { name: "Outline of the plan" }).isVisible()).toBe(true)
})
