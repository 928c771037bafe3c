import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { usesOf } from "../../compiler/cases/report/line-uses.ts"
import { OUTCOME_HEADER } from "../../compiler/cases/report/outcome-row.ts"
import { replay } from "../../compiler/cases/report/replay.ts"
import { compile } from "../../compiler/compile.ts"
import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import { examplesOf } from "../support/examples.ts"
import { faults } from "./support/axe.ts"
import { cases80, LAMP } from "./support/lamp.ts"
import { compiled, downloaded, dropCases, paste, playground, shared, soon, station } from "./support/page.ts"

const visit = playground()

/** The light where metering comes first: one rule that acts, and one that never does. */
const LAMP_METERED = LAMP.replace("reads output takes 30 min", "\n  reads output takes 2 min")
  .replace("swaps head takes 6 min", "swaps head takes 60 min")
  .replace(
    'proof "Switch',
    `when output between 11 and 13 V rule out battery_flat
  because "a full voltage clears the battery"
when output at least 29 V rule out head_dead
  because "never seen"

proof "Switch`,
  )

test("80 cases are replayed: figures, those that did not end well first, one walked step by step, its step in the graph", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  const chooser = page.waitForEvent("filechooser")
  await page.evaluate(() => {
    // Without the File System Access API, as in most browsers, a plain picker opens.
    Reflect.deleteProperty(window, "showOpenFilePicker")
  })
  await page.getByRole("button", { name: "Open cases…" }).click()
  await (await chooser).setFiles({
    name: "lamp.cases.jsonl",
    mimeType: "text/plain",
    buffer: Buffer.from(cases80()),
  })
  await page.getByText("80 cases walked through work_light 1.0.0").waitFor()
  // By hand: of every eight cases, seven end fixed; one buys a good head for a flat battery, and nothing fits any more.
  const figures = (await page.locator(".figures").allTextContents()).join("")
  expect(figures).toMatch(/Fixed and closed87\.5\s%70 of 80/)
  expect(figures).toMatch(/Handed over12\.5\s%10 of 80/)
  expect(figures).toMatch(/Bought a part in vain12\.5\s%10 of 80.*3,000\sEUR, 10 of 60 parts/)
  const first = page.locator(".case-table tbody tr").first()
  expect(await first.textContent()).toContain("→ handed over")
  expect(await first.textContent()).toContain("buys head in vain (300 EUR); hands over")
  // Endings by fault and over time, minutes saved, and whether repairs and closings were as likely right as was said.
  expect(await page.locator(".plot svg").count()).toBe(5)

  const { report } = replay(compile("shared.ruleout", () => LAMP).graph!, cases80())
  const used = report.repairs.filter((each) => each.used > 0)
  expect(used.length).toBeGreaterThan(1)
  const repairs = page.locator("section", { hasText: "In vain" }).last().locator("tbody tr")
  expect(await repairs.count()).toBe(used.length)
  for (const { name, used: times } of used)
    expect(await repairs.locator(`:text("${times}")`).count(), name).toBeGreaterThan(0)

  const rows = page.locator(".case-table tbody tr")
  await page.getByRole("columnheader", { name: "Case" }).getByRole("button", { name: "Case" }).click()
  expect(await rows.first().textContent()).toContain("W-01")
  await page.getByRole("button", { name: "Case ↑" }).click()
  expect(await rows.first().textContent()).toContain("W-80")
  expect(await page.getByRole("columnheader", { name: "Case" }).getAttribute("aria-sort")).toBe("descending")
  const outcome = page.getByLabel("Outcome")
  await outcome.selectOption("handedOver")
  expect(await rows.count()).toBe(10)
  await outcome.selectOption("")
  await page.getByRole("searchbox", { name: "Filter the cases" }).fill("W-07")
  expect(await page.locator(".case-table tbody tr").count()).toBe(1)
  await page.locator(".case-table").getByRole("button", { name: "W-07" }).click()
  const steps = page.locator(".walked li")
  expect(await page.locator(".one-case").textContent()).toContain("The graph buys head in vain")
  expect(await steps.first().textContent()).toContain("Fit the known-good lamp head")
  await steps.first().getByRole("button").click()
  await page.locator(".detail h2").waitFor()
  expect(await page.locator(".detail h2").textContent()).toBe("Fit the known-good lamp head")
  await page.locator(".graph-count").getByText("lit: the way of case W-07").waitFor()
  await soon(() => page.locator(".canvas .node.on-path").count()).toBeGreaterThan(1)
  await station(page, "Cases")
  await page.getByRole("button", { name: "It came back: second job" }).click()
  await page.locator(".log").getByText("The machine came back").waitFor()
  expect(await page.locator(".log li").allTextContents()).toEqual([
    expect.stringContaining("Fit the known-good lamp head complaint gone"),
    expect.stringContaining("Put the old part back: lamp head complaint stays"),
    expect.stringContaining("The machine came back"),
  ])
  await page.reload()
  await page.locator(".log").getByText("The machine came back").waitFor()
  await station(page, "Ship")
  expect(await downloaded(page, "Cases")).toBe(`${cases80()}\n`)
})

test("a figure, a bar, a month, a repair lead to the cases behind them; one is gone through after the other; a table goes out", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  await dropCases(page, cases80())
  await page.getByText("80 cases walked through work_light 1.0.0").waitFor()
  const rows = page.locator(".case-table tbody tr")
  const behind = page.locator(".among")
  const all = page.getByRole("button", { name: "Show all", exact: true })
  const { report } = replay(compile("shared.ruleout", () => LAMP).graph!, cases80())

  await page.getByTitle("Show the 10 cases").first().click()
  expect(await behind.textContent()).toBe("Only: Handed over")
  expect(await rows.count()).toBe(10)
  // What is counted and what is listed is the same, here and at the repairs.
  for (const { used } of report.repairs.filter(({ used }) => used > 0)) {
    await page
      .locator("section", { hasText: "In vain" })
      .last()
      .getByRole("button", { name: `${used}` })
      .first()
      .click()
    expect(await rows.count()).toBe(used)
  }
  await all.click()
  expect(await rows.count()).toBe(80)

  const plot = (title: string) => page.locator(".plot", { hasText: title })
  const flat = report.faults.find(({ name }) => name === "battery_flat")!
  const bars = plot("by fault").locator("[aria-label=bar] rect")
  const widths = await bars.evaluateAll((all) => all.map((bar) => Number(bar.getAttribute("width"))))
  expect(widths).toHaveLength(4)
  await bars.first().hover({ force: true })
  await plot("by fault")
    .locator("[aria-label=tip]")
    .getByText(/\d+ cases/)
    .waitFor()
  await bars.first().click({ force: true })
  const count = Number(/\d+/.exec((await page.locator(".case-table [role=status]").textContent())!)![0])
  expect(await behind.textContent()).toMatch(/^Only: .*, (fixed and closed|handed over)$/)
  expect([flat.fixed, flat.handedOver, ...report.faults.map(({ fixed }) => fixed)]).toContain(count)
  await plot("over time").locator("[aria-label=bar] rect").first().click({ force: true })
  expect(await behind.textContent()).toMatch(/^Only: 20\d\d-\d\d/)
  await all.click()

  await page.getByLabel("From").fill("2026-09-01")
  await page.getByLabel("to", { exact: true }).fill("2026-09-12")
  const days = await rows.locator(".case-date").allTextContents()
  expect(days.length).toBeGreaterThan(0)
  expect(days.every((day) => day >= "2026-09-01" && day <= "2026-09-12")).toBe(true)
  await page
    .locator("label", { hasText: /^Fault/ })
    .locator("select")
    .selectOption("battery pack worn")
  const faultsShown = await rows.locator("td:nth-child(3)").allTextContents()
  expect(new Set(faultsShown)).toEqual(new Set(["battery pack worn"]))

  const ids = await rows.locator("td:first-child button").allTextContents()
  await rows.first().getByRole("button").click()
  await page.getByRole("button", { name: "Next", exact: true }).click()
  expect(await page.locator("#one-case-title").textContent()).toContain(ids[1]!)
  await page.getByRole("button", { name: "Previous", exact: true }).click()
  expect(await page.getByRole("button", { name: "Previous", exact: true }).isDisabled()).toBe(true)
  const table = (await downloaded(page, "Save table (CSV)")).trim().split("\n")
  expect(table[0]).toBe(OUTCOME_HEADER.join(","))
  expect(table.slice(1).map((line) => line.split(",")[0])).toEqual(ids)
  await page.emulateMedia({ media: "print" })
  expect(await page.locator(".case-filters, .toolbar").filter({ visible: true }).count()).toBe(0)
  expect(await rows.last().isVisible()).toBe(true)
  await page.emulateMedia({ media: "screen" })
  expect(await faults(page)).toEqual([])
})

test("a file that is not what it should be is said so, line by line", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  const bad = `{"id":"B-1","steps":[],"fault":"head_ded"}\n{"id":"B-2","steps":\n${cases80().split("\n")[0]}`
  await dropCases(page, bad)
  await page.getByText("Not understood in the file").waitFor()
  const said = await page.locator("section", { hasText: "Not understood in the file" }).last().textContent()
  expect(said).toContain("Line 1:")
  expect(said).toContain("head_ded")
  expect(said).toContain("Line 2:")
  await page.getByRole("link", { name: "More on case-json" }).click()
  await soon(() => page.evaluate(() => document.activeElement?.textContent)).toBe("case-json")
})

test("a table of cases is read by its columns, and a new version is held against the shipped one", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  const download = page.waitForEvent("download")
  await page.getByRole("button", { name: "Graph", exact: true }).click()
  await download
  await station(page, "Cases")
  const rows = ["A-1,gone,stays,head_dead", "A-2,stays,,battery_flat", "A-3,gone,gone,connector_loose"]
  const table = ["id,try_head,put back head,fault", ...rows, "A-4,perhaps,,head_dead"]
  await dropCases(page, table.join("\n"), "jobs.csv")
  await page.getByText("3 cases walked through work_light 1.0.0").waitFor()
  await page.getByText(/^Row 5, column B \(try_head\):/).waitFor()
  expect(await page.getByRole("link", { name: "More on case-value" }).count()).toBe(1)
  const left = await downloaded(page, "Save the rows left out")
  expect(left.split(/\r?\n/)).toEqual(["id,try_head,put back head,fault", "A-4,perhaps,,head_dead"])
  expect(await page.locator(".case-table tbody tr").count()).toBe(3)
  await page.getByRole("button", { name: "Close", exact: true }).click()
  await page.getByText("No cases yet").waitFor()
  await page.getByRole("button", { name: "Open them again" }).click()
  await page.getByText("3 cases walked through work_light 1.0.0").waitFor()

  // The new version trusts a swap that made the complaint go, and so no longer puts the old part back.
  await station(page, "Write")
  await page.locator(".monaco-editor .view-line").first().waitFor()
  await paste(page, LAMP.replace("trust 80%", "trust 40%").replace("comeback costs 400", "comeback costs 1"))
  await compiled(page)
  await station(page, "Cases")
  await page.getByText("Against the shipped version work_light 1.0.0").waitFor()
  expect(
    await page.locator("section", { hasText: "Against the shipped version" }).last().textContent(),
  ).toContain("exact McNemar")
})

test("columns of a foreign table are said by hand, with what was recognised filled in, before anything is read", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  const rows = ["A-1,Ann,gone,stays,head_dead,9000", "A-2,Bo,stays,,battery_flat,"]
  const table = ["Order,Clerk,new head helped,old head again,fault,volts", ...rows].join("\n")
  await dropCases(page, table, "shop.csv")
  await page.getByRole("heading", { name: "What are the columns of shop.csv?" }).waitFor()
  const stands = (column: string) => page.getByLabel(new RegExp(`^Column ${column}, .* stands for$`))
  expect(await stands("E").inputValue()).toBe("fault")
  expect(await stands("A").inputValue()).toBe("")
  expect(await faults(page)).toEqual([])
  await page.getByRole("button", { name: "Don't open it" }).click()
  await page.getByText("No cases yet").waitFor()

  await dropCases(page, table, "shop.csv")
  await stands("A").selectOption("id")
  await stands("C").selectOption("try_head")
  await stands("D").selectOption("try_head")
  await page.getByText("Two columns stand for").waitFor()
  expect(await page.getByRole("button", { name: "Read the table" }).isDisabled()).toBe(true)
  await stands("D").selectOption("put back head")
  await stands("F").selectOption("output")
  await page.getByLabel("Unit of column F").selectOption("mV")
  await page.getByRole("button", { name: "Read the table" }).click()
  await page.getByText("2 cases walked through work_light 1.0.0").waitFor()
  const lines = (await downloaded(page, "Save cases")).trim().split("\n")
  const [first] = lines.map((line) => JSON.parse(line))
  expect(first.id).toBe("A-1")
  expect(first.faults ?? [first.fault]).toEqual(["head_dead"])
  expect(first.steps).toContainEqual(expect.objectContaining({ putBack: "head", found: "stays" }))
  expect(JSON.stringify(first.steps)).toContain("9000 mV")
  expect(JSON.stringify(lines)).not.toContain("Ann")
})

test("each line carries the cases that used it, as the library counts them, and the rules lead to their lines", async () => {
  const text = LAMP_METERED
  const { graph, model } = compile("shared.ruleout", () => text)
  const found = ["12 V", "12.4 V", "3 V"]
  const cases = Array.from({ length: 60 }, (_, i) =>
    JSON.stringify({
      id: `M-${i}`,
      complaint: "dark",
      told: {},
      steps: [{ test: "meter_head", found: { output: found[i % 3] } }],
      faults: [i % 3 === 2 ? "battery_flat" : "head_dead"],
    }),
  ).join("\n")
  const { report } = replay(graph, cases)
  const spans = (list: readonly { span: Span }[]) => list.map(({ span }) => span)
  const places = { rules: spans(model!.rules), tests: spans(model!.tests), faults: spans(model!.faults) }
  const wanted = usesOf(report, places).map(({ span, cases }) => {
    const line = text.slice(span.start).split("\n")[0]!
    return `${line} ${cases === 0 ? "○ none" : `● ${cases}`}`.replace(/\s+/g, " ")
  })
  expect(report.rules.map(({ used }) => used > 0)).toEqual([true, false])

  const { page } = await visit({ at: await shared(text), viewport: { width: 1440, height: 1500 } })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  await dropCases(page, cases)
  const rules = page.locator(".rule-uses li")
  await rules.first().waitFor()
  expect(await rules.allInnerTexts()).toEqual([
    expect.stringMatching(new RegExp(`no cases\\s+line ${report.rules[1]!.line} never seen`)),
    expect.stringMatching(
      new RegExp(`● ${report.rules[0]!.used} cases\\s+line ${report.rules[0]!.line} a full voltage`),
    ),
  ])
  await rules
    .first()
    .getByRole("button", { name: `line ${report.rules[1]!.line}` })
    .click()
  // The whole rule is selected; an arrow goes to its beginning.
  await soon(() => page.locator(".active-line-number").first().textContent()).toBe(
    `${report.rules[1]!.line + 1}`,
  )
  await page.keyboard.press("ArrowLeft")
  const marked = page.locator(".view-line", { has: page.locator(".line-uses") })
  const inText = async () =>
    (await marked.allInnerTexts())
      // Without the chance that stands beside the odds.
      .map((line) =>
        line
          .replace(/\s+/g, " ")
          .replace(/(odds \d)[\d.]+ %/, "$1")
          .trim(),
      )
      .sort()
  await soon(inText).toEqual(wanted.toSorted())

  // A screen reader hears of it by the hover's key; a line that is broken in two keeps its count.
  await page.keyboard.press("ControlOrMeta+k")
  await page.keyboard.press("ControlOrMeta+i")
  await page.locator(".monaco-hover").getByText("ruled something out in none of the 60 replayed").waitFor()
  await page.keyboard.press("Escape")
  await page.keyboard.press("End")
  await page.keyboard.type("\n")
  expect(await inText()).toEqual(wanted.toSorted())
  await page.getByRole("checkbox", { name: /^Case counts/ }).click()
  await soon(() => marked.count()).toBe(0)
})

test("the handbook's table of jobs: a bad row is said first, told questions take their time, half a job is no mark", async () => {
  const folder = join(import.meta.dirname, "../../rulesets/handbook")
  const blocks = (page: string) => examplesOf(page, readFileSync(join(folder, page), "utf8"))
  const [table] = blocks("jobs-in-a-table.md")
  const lamp = blocks("from-a-notebook.md").find(({ text }) => text.startsWith("ruleset"))!.text
  const { page } = await visit({ at: await shared(lamp) })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  await dropCases(page, table!.text.replace("no;no;7,9", "no;no;ca. 8"), "jobs.csv")
  await page.getByText("5 cases walked through hand_lamp").waitFor()
  const unread = page.locator(".cases-columns .card").first()
  expect(await unread.textContent()).toContain("ca. 8")
  expect(await unread.textContent()).toContain("The row is left out.")
  const { report } = replay(compile("a.ruleout", () => lamp).graph!, await downloaded(page, "Save cases"))
  const { difference } = report.minutes!
  expect(difference).not.toBe(0)
  const saved = page.locator(".plots").getByText("On average")
  expect(await saved.textContent()).toContain(`On average ${(-difference).toFixed(1)} minutes`)
  const marks = await page
    .locator(".plot svg [aria-label^='x-axis tick label']")
    .first()
    .locator("text")
    .allTextContents()
  expect(marks).toEqual(["0", "1", "2"])
})
