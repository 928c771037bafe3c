import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Page } from "playwright-core"
import { describe, expect, test } from "vitest"
import { CASE_CODES } from "../../compiler/cases/record/codes.ts"
import { checks } from "../../compiler/check/check.ts"
import { CODES } from "../../compiler/model/codes.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { SYNTAX_CODES } from "../../compiler/syntax/codes.ts"
import { isWhole } from "../../playground/help/is-whole-ruleset.ts"
import { readPage } from "../../playground/help/markdown.ts"
import { cutAt, search } from "../../playground/help/search.ts"
import { examplesOf } from "../support/examples.ts"
import { faults } from "./support/axe.ts"
import { LAMP } from "./support/lamp.ts"
import {
  begin,
  compiled,
  downloaded,
  focusEditor,
  keptFiles,
  paste,
  planned,
  playground,
  soon,
  startEmpty,
  station,
} from "./support/page.ts"

const visit = playground()

const focused = (page: Page) => page.evaluate(() => document.activeElement?.textContent)
const top = (page: Page, section: string) =>
  page.locator(`#${section}`).evaluate((heading) => Math.round(heading.getBoundingClientRect().top))

test.each([
  { width: 1440, height: 900, colorScheme: "light" },
  { width: 360, height: 740, colorScheme: "dark" },
] as const)(
  "the help is read by keyboard at $width px in $colorScheme: a search, a link, an example opened; axe finds nothing",
  async ({ width, height, colorScheme }) => {
    const { page } = await visit({ viewport: { width, height }, colorScheme })
    await page.locator(".welcome").waitFor()
    await page.keyboard.press("Alt+6")
    await page.getByRole("heading", { name: "Handbook", level: 1 }).waitFor()
    expect(await faults(page)).toEqual([])

    await page.keyboard.press("Tab")
    await page.keyboard.type("hearsay trust")
    const results = page.locator(".help-results li")
    expect(await results.first().locator("a").textContent()).toBe("hearsay")
    expect(await results.first().locator("mark").count()).toBeGreaterThan(0)
    expect(await faults(page)).toEqual([])
    await page.keyboard.press("Enter")
    await soon(() => focused(page)).toBe("hearsay")
    expect(page.url()).toContain("#help/codes/hearsay")
    await soon(async () => (await top(page, "hearsay")) < 120).toBe(true)
    expect(await faults(page)).toEqual([])

    // A link between pages stays in the help, and goes back as in any page.
    await page.goto(page.url().replace(/#.*/, "#help/handbook"))
    await page.locator(".help-text").getByRole("link", { name: "From a notebook page to a ruleset" }).click()
    await soon(() => focused(page)).toBe("From a notebook page to a ruleset")
    await page.goBack()
    await page.getByRole("heading", { name: "Handbook", level: 1 }).waitFor()
    await page.goForward()
    await page.getByRole("button", { name: "Open in the editor" }).click()
    await compiled(page)
    expect(Object.keys(await keptFiles(page))).toEqual(["hand-lamp.ruleout"])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(
      0,
    )
  },
)

test("a problem leads to its code's section, in the list and in the text; what has no section, to where it stands", async () => {
  const { page } = await visit()
  await begin(page, `${LAMP}reading spare_hum "Does it hum?" yes or no\n`)
  await page.locator(".problem.warning").getByRole("link", { name: "silent-reading" }).click()
  await soon(() => focused(page)).toBe("silent-reading")
  await page.keyboard.press("Alt+1")
  await focusEditor(page)
  await page.keyboard.press("F8")
  await page.getByRole("link", { name: "silent-reading" }).first().click()
  await soon(() => focused(page)).toBe("silent-reading")

  await page.keyboard.press("Alt+1")
  await paste(page, LAMP.replace("reads output", "reads outptu"))
  await page.locator(".problem.error").getByRole("link", { name: "unknown-name" }).click()
  await soon(() => focused(page)).toBe("unknown-name")
  await page.goto(page.url().replace(/#.*/, "#help/codes/comeback"))
  await soon(() => page.getByLabel("Search the help").inputValue()).toBe("comeback")
  await page.locator(".help-results").waitFor()
  // The work in hand is one press away when an example takes its place.
  await page.goto(page.url().replace(/#.*/, "#help/from-a-notebook"))
  await page.getByRole("button", { name: "Open in the editor" }).click()
  await page.getByRole("button", { name: "Back to mine" }).click()
  await soon(async () => Object.values(await keptFiles(page))[0]).toContain("reads outptu")
})

test("the tutorial followed from an empty page to a shipped graph", async () => {
  const file = join(import.meta.dirname, "../../rulesets/handbook/from-a-notebook.md")
  const [whole, change] = examplesOf(file, readFileSync(file, "utf8"))
  const { page } = await visit()
  await startEmpty(page)
  // As the tutorial goes: the head is typed, then paragraph by paragraph goes below.
  const [head, ...paragraphs] = whole!.text.split("\n\n")
  await focusEditor(page)
  await page.keyboard.type(head!.replaceAll("\n  ", "\n"))
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"])
  for (const paragraph of paragraphs) {
    await page.keyboard.press("Escape")
    await focusEditor(page)
    await page.keyboard.press("ControlOrMeta+End")
    await page.evaluate((text) => navigator.clipboard.writeText(text), `\n\n${paragraph}`)
    await page.keyboard.press("ControlOrMeta+v")
  }
  await compiled(page)
  const warnings = page.locator(".problem.warning")
  await soon(() => warnings.count()).toBe(1)
  const promised = whole!.results.find(({ info }) => info === "findings")!.text.replaceAll("`", "")
  const shown = (await warnings.allTextContents()).join("\n")
  for (const line of promised.split("\n"))
    expect(shown).toContain(line.replace(/^warning [\w-]+: /, "").trim())

  // The change: the one line that is new goes below the fault's.
  const [line, added, ...more] = change!.text.split("\n")
  expect([whole!.text.includes(line!), more]).toEqual([true, []])
  // The editor shows its spaces as ones that do not break.
  await page.locator(".view-line", { hasText: /lead\s+off\s+its\s+tag/ }).click()
  await page.keyboard.press("End")
  await page.keyboard.type(`\n${added}`)
  await page.keyboard.press("Escape")
  await soon(async () => Object.values(await keptFiles(page))[0]).toContain(change!.text)
  await soon(() => warnings.count()).toBe(0)
  await planned(page)
  expect(await page.locator(".problem.error").count()).toBe(0)
  expect(await page.locator(".plan-card").textContent()).toContain("optimal")

  await station(page, "Graph")
  await page.locator(".canvas .node", { hasText: "Fit the known-good pack" }).first().waitFor()
  await station(page, "Bench")
  expect(await page.locator(".instruction").textContent()).toBe("Open the cover and look at the contacts")
  await station(page, "Ship")
  const graph = JSON.parse(await downloaded(page, "Graph")) as Graph
  expect(graph.format).toBe("ruleout-graph/2")
  const start = graph.nodes[graph.start]!
  expect(start.do === "test" && graph.tests[start.test]!.name).toBe("look_contacts")
})

test("every code that the compiler can say has a section in the help, and the search finds it first", async () => {
  const sections = ["compiler/check/CODES.md", "compiler/cases/CODES.md"].flatMap((path) => {
    const text = readFileSync(join(import.meta.dirname, "../..", path), "utf8")
    return readPage({ id: "codes", path }, text, []).sections
  })
  const codes = [
    ...checks.map(({ code }) => code),
    ...Object.keys({ ...SYNTAX_CODES, ...CODES, ...CASE_CODES }),
  ]
  expect(codes.length).toBeGreaterThan(70)
  for (const code of codes) {
    expect(sections.map(({ id }) => id)).toContain(code)
    expect(search(sections, code)[0]?.section.title).toBe(code)
  }
})

describe("a page of the help", () => {
  const places = [
    { id: "a", path: "x/a.md" },
    { id: "b", path: "y/b.md" },
  ]
  const html = (text: string) =>
    readPage(places[0]!, text, places).blocks.map((block) =>
      block.kind === "html" ? block.html : block.text,
    )

  test("keeps links between pages, makes text of others, and lets no HTML through", () => {
    const [shown] = html(
      "# A\n\n[b](../y/b.md#its-part) [here](#a-part) [tests](../t/c.md) <img src=x onerror=alert(1)> [bad](javascript:alert(1))",
    )
    expect(shown).toContain('href="#help/b/its-part"')
    expect(shown).toContain('href="#help/a/a-part"')
    expect(shown).toContain('<span title="In the repository: t/c.md">tests</span>')
    expect(shown).toContain("&lt;img src=x")
    expect(shown).not.toMatch(/href="javascript|<img/)
  })

  test("has the sections of its headings, with names as in addresses, and its code apart", () => {
    const page = readPage(
      places[0]!,
      "# A\nfirst\n## The `when`, 1!\nthen\n```js\nx\n```\n## The when 1\nlast",
      places,
    )
    expect(page.sections.map(({ id, title, text }) => [id, title, text])).toEqual([
      ["", "A", "first\n"],
      ["the-when-1", "The when, 1!", "then\nx\n"],
      ["the-when-1-1", "The when 1", "last\n"],
    ])
    expect(page.blocks.map(({ kind }) => kind)).toEqual(["html", "code", "html"])
  })

  test("search wants all words, and puts titles first", () => {
    const section = (title: string, text: string) => ({
      page: "p",
      pageTitle: "Page",
      id: title,
      title,
      text,
    })
    const all = [
      section("Costs", "trust trust trust and a rule"),
      section("Rules", "trust nobody"),
      section("Trust", "a rule of thumb"),
      section("Meters", "no such thing"),
    ]
    const found = (query: string) => search(all, query).map(({ section }) => section.title)
    expect(found("TRUST")).toEqual(["Trust", "Costs", "Rules"])
    expect(found("rule trust")).toEqual(["Trust", "Rules", "Costs"])
    expect(found("trust absent")).toEqual([])
    expect(found("  ")).toEqual([])
    expect(cutAt("A rule of Trust", ["trust", "rule"])).toEqual(["A ", "rule", " of ", "Trust", ""])
  })

  test("offers to open what can stand alone", () => {
    expect(isWhole(LAMP)).toBe(true)
    expect(isWhole(`use "meters.ruleout"\n${LAMP}`)).toBe(false)
    expect(isWhole("when output below 9 V rule out head_dead")).toBe(false)
  })
})
