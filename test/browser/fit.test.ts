import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Page } from "playwright-core"
import { expect, test } from "vitest"
import { fitTo, graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { patched } from "../../compiler/cases/fit/patch.ts"
import { verdictText } from "../../compiler/cases/fit/sentences.ts"
import { readCases } from "../../compiler/cases/record/read.ts"
import { analyse } from "../../compiler/compile.ts"
import { faults } from "./support/axe.ts"
import { cases80, LAMP } from "./support/lamp.ts"
import {
  dropCases,
  focusEditor,
  keptFiles,
  paste,
  playground,
  shared,
  soon,
  startEmpty,
  station,
} from "./support/page.ts"

const visit = playground()
const folder = join(import.meta.dirname, "../../rulesets/printer-faint-marked")
// Its scenarios stand in a file of their own, which isn't pasted.
const text = readFileSync(join(folder, "printer-faint-marked.ruleout"), "utf8").replace(/^use .*\n/m, "")
const cases = readFileSync(join(folder, "printer-faint-marked.cases.jsonl"), "utf8").trimEnd()

/** The same fit by the library. */
function fitted(text: string, cases: string, weight: number) {
  const { model, trees, sources } = analyse("new.ruleout", () => text)
  const read = [...readCases(cases, graphWithoutPlan(model!))].flatMap(({ case: record }) => record ?? [])
  return { fit: fitTo(model!, trees, read, { weight }), sources }
}

const card = (page: Page) => page.locator(".fit")

test("the numbers that would change are the library's; put in they change the text and nothing else, undo brings it back", async () => {
  const { page } = await visit()
  await startEmpty(page)
  await paste(page, text)
  await station(page, "Cases")
  await page.getByText("No cases yet").waitFor()
  expect(await card(page).count()).toBe(0)
  const many = Array.from({ length: 10 }, (_, i) => cases.replaceAll('"id":"', `"id":"${i}-`))
  await dropCases(page, many.join("\n"))
  await card(page).getByRole("button", { name: "Fit" }).click()
  await card(page).getByRole("button", { name: "Stop" }).click()
  await card(page).getByRole("button", { name: "Fit", exact: true }).waitFor()
  expect(await page.locator(".fit-changes").count()).toBe(0)
  await dropCases(page, cases)
  await card(page).getByRole("button", { name: "Fit" }).click()
  const { fit, sources } = fitted(text, cases, 20)
  await card(page).getByText(`${fit.changes.length} numbers would change`).waitFor()
  const lines = (start: number) => text.slice(0, start).split("\n").length
  const wanted = fit.changes.map(({ from, to, change }) => `line ${lines(change.span.start)} ${from} → ${to}`)
  const shown = await page.locator(".fit-changes li li").allInnerTexts()
  expect(shown.map((each) => each.replace(/\s+/g, " ").replace(/(→ [\d.]+).*/, "$1"))).toEqual(wanted)
  const said = await card(page).textContent()
  expect(fit.validation!.verdict).toBe("cannot be told")
  expect(said).toContain(verdictText(fit.validation!))
  expect(said).toContain(fit.validation!.fitted.logLoss.toFixed(3))
  expect(said).toContain(`as written ${fit.validation!.author.logLoss.toFixed(3)}`)
  expect(said).toContain(fit.contradicted[0]!.ids[0]!)
  expect(await faults(page)).toEqual([])

  // Nothing shows that they help on other cases, so none is offered before somebody asks for it.
  expect(await card(page).getByRole("checkbox", { checked: true }).count()).toBe(0)
  await card(page).getByRole("button", { name: "Tick all" }).click()
  await card(page).getByLabel("odds of toner_low", { exact: true }).uncheck()
  await card(page)
    .getByRole("button", { name: `Put ${fit.changes.length - 1} numbers into the text` })
    .click()
  await card(page).getByText("have changed since the last fit").waitFor()
  const changed = patched(
    fit.changes.filter(({ kind, name }) => !(kind === "odds" && name === "toner_low")),
    sources,
  ).get("new.ruleout")!
  await soon(async () => (await keptFiles(page))["new.ruleout"]).toBe(changed)
  expect(changed.replace(/\d+(\.\d+)?/g, "#")).toBe(text.replace(/\d+(\.\d+)?/g, "#"))

  await station(page, "Write")
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+z")
  await soon(async () => (await keptFiles(page))["new.ruleout"]).toBe(text)
  await station(page, "Ship")
  await page.getByText("before fitting to cases").waitFor()
})

test("another weight, the few left out, the way back, and 360 px", async () => {
  const { page } = await visit({ at: await shared(LAMP), viewport: { width: 360, height: 740 } })
  await page.locator(".instruction").waitFor()
  await station(page, "Cases")
  const cases = cases80().split("\n").slice(0, 16).join("\n")
  await dropCases(page, cases)
  await card(page).getByRole("button", { name: "Fit" }).click()
  await card(page).getByText("would change").first().waitFor()
  await card(page).getByText("that takes 20 cases whose confirmed fault isn't ruled out").waitFor()
  const weight = card(page).getByRole("textbox")
  await weight.fill("none")
  await weight.press("Enter")
  await card(page).getByText("A number above 0.").waitFor()
  await weight.fill("200")
  await weight.press("Enter")
  const { fit } = fitted(LAMP, cases, 200)
  await card(page).getByText(`${fit.changes.length} numbers would change`).waitFor()
  await card(page).getByRole("button", { name: "Tick those with enough cases" }).click()
  const few = ({ kind, seen }: (typeof fit.changes)[number]) => (kind === "odds" ? seen.count : seen.of) < 5
  const set = ({ kind, name }: (typeof fit.changes)[number]) => `${kind} ${name}`
  const out = new Set(fit.changes.filter(few).map(set))
  const taken = fit.changes.filter((each) => !out.has(set(each)))
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
  await card(page)
    .getByRole("button", { name: `Put ${taken.length} numbers into the text` })
    .click()
  await page.getByRole("button", { name: "Undo" }).click()
  await card(page).getByText(`${fit.changes.length} numbers would change`).waitFor()
})
