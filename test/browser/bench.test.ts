import type { Page } from "playwright-core"
import { expect, inject, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open } from "../../compiler/run/index.ts"
import { percent } from "../../compiler/wording/figures.ts"
import { faults } from "./support/axe.ts"
import { LAMP } from "./support/lamp.ts"
import { playground, shared, soon, station } from "./support/page.ts"

const visit = playground()

/** A shared link opens at the bench, without the editor. */
async function atBench(text = LAMP): Promise<Page> {
  const { page } = await visit({ at: await shared(text) })
  await page.locator(".instruction").waitFor()
  return page
}

const instruction = (page: Page) => page.locator(".instruction").textContent()
const press = (page: Page, name: RegExp | string) =>
  page.locator(".step").getByRole("button", { name }).click()

test("the bench leads to a put-back, warns of more than one explanation, and proves the cure", async () => {
  const page = await atBench(LAMP.replace("takes 1 min", "takes 1 min expects output between 9 and 13 V"))
  expect(await instruction(page)).toBe("Fit the known-good lamp head")
  const changes = page.locator(".changes")
  await changes.getByText("A known-good lamp head goes in").waitFor()
  await changes.getByText("Does again: head connector").waitFor()
  await press(page, /^Gone/)
  await page.getByText("More than one explanation.").waitFor()
  expect(await instruction(page)).toBe("Put the old part back: lamp head")
  await page.getByText("Known-good fitted: lamp head").waitFor()
  await press(page, /^Gone/)
  expect(await instruction(page)).toBe("Nothing more to do: the machine is fixed")
  await page.getByText("It is mended with a chance of").waitFor()
  // Two cells of the reading, side by side: one range.
  await page.getByText("Expected: Voltage at the head 9 to 13 V").waitFor()
  for (let run = 1; run <= 3; run++) await page.getByRole("button", { name: /^Held once more/ }).click()
  await page.getByText("3 of 3").waitFor()
  await page.getByRole("button", { name: "Record the job" }).click()
  await station(page, "Cases")
  await page.getByText("1 case on work_light").first().waitFor()
  await soon(() => page.locator(".case-table tbody tr").textContent()).toContain("✓ right")
})

test("a verdict with another explanation says what is left to it, and the button beside it puts the old part back", async () => {
  // To swap and to put back costs more than being wrong.
  const text = LAMP.replace("trust 80%", "trust 73%")
    .replace("comeback costs 400", "comeback costs 100")
    .replace("in head      odds 5", "in head      odds 15")
    .replace("swaps head takes 6 min", "swaps head takes 120 min")
  const page = await atBench(text)
  await page.getByText("Found something else?").click()
  await page.getByLabel("Reading or test").selectOption({ label: "Fit the known-good lamp head" })
  await page.getByRole("button", { name: "Complaint gone" }).click()
  const found = open(compile("lamp.ruleout", () => text).graph!).find("try_head", "gone")
  const { next, standing } = found
  if (next.do !== "verdict" || !standing.doubt) throw new Error("a verdict with a doubt is wanted")
  const doubt = page.locator(".step .doubt")
  const said = ((await doubt.textContent()) ?? "").replaceAll("\u00a0", " ")
  expect(said).toContain(`good enough: ${percent(next.chance)}, and the ruleset asks for 73 %`)
  expect(said).toContain(`another one is ${percent(1 - next.chance)}`)
  for (const { label, chance } of standing.doubt.explanations)
    expect(said).toMatch(new RegExp(`${percent(chance)}[^%]*${label}`))
  // Said once on the page, and nowhere as an order.
  expect(await page.getByText("More than one explanation.").count()).toBe(1)
  expect(await page.getByText("Gone for more than one possible reason").count()).toBe(0)
  expect(await faults(page)).toEqual([])
  await page.getByRole("button", { name: "Close this message" }).click()
  await page.setViewportSize({ width: 360, height: 740 })
  const wide = page.locator(".bench *")
  const right = await wide.evaluateAll((all) => all.map((each) => each.getBoundingClientRect().right))
  expect(Math.max(...right)).toBeLessThanOrEqual(360)

  const verdict = await instruction(page)
  const putBack = page.getByRole("button", { name: "Put the old part back to tell: lamp head" })
  await putBack.click()
  await soon(() => instruction(page)).toBe("Put the old part back: lamp head")
  await soon(() => page.evaluate(() => document.activeElement?.id)).toBe("step-title")
  await page.locator(".cautions").getByText("Hot lamp head").waitFor()
  await press(page, "Back to the verdict")
  await soon(() => instruction(page)).toBe(verdict)
  await putBack.click()
  await press(page, /^Stays/)
  await page.locator(".log").getByText("Put back: lamp head").waitFor()
  await soon(() => instruction(page)).toBe("Replace: lamp head")
  expect(await page.getByText("More than one explanation.").count()).toBe(0)
})

test("what stays puts the old part back by itself, and a finding can be taken back", async () => {
  const page = await atBench()
  await press(page, /^Stays/)
  const suspects = page.locator(".suspects tbody tr")
  expect(await suspects.count()).toBe(1)
  await page.locator(".suspects summary").click()
  await page.getByText("the complaint would not").first().waitFor()
  await page.getByRole("button", { name: /^Take back step 1/ }).click()
  expect(await suspects.count()).toBe(3)
})

test("cannot be done here, a number in another unit, an answer out of range, and findings out of order", async () => {
  const page = await atBench()
  await press(page, "Cannot do this here")
  await page.getByText("cannot be done here").waitFor()
  await page.getByRole("button", { name: /^Take back step 1/ }).click()
  await page.getByText("Found something else?").click()
  await page.getByLabel("Reading or test").selectOption({ label: "Voltage at the head" })
  const other = page.locator(".other")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("99")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.getByText("a number from 0 to 30 V").waitFor()
  await other.getByLabel("Unit of output").selectOption("mV")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("11900")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.locator(".log").getByText("11.9 V").waitFor()
  await page.getByText("worked out from the model").waitFor()
})

test("a number is read as it is typed on paper: with a decimal comma, and the sign for minus", async () => {
  const page = await atBench(LAMP.replace("from 0 to 30", "from -30 to 30"))
  await page.getByText("Found something else?").click()
  await page.getByLabel("Reading or test").selectOption({ label: "Voltage at the head" })
  const other = page.locator(".other")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("−2,5")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.locator(".log").getByText("-2.5 V").waitFor()
})

test("cautions stand before the instruction and defer to local codes", async () => {
  const page = await atBench()
  const order = await page.locator(".step > *").evaluateAll((all) => all.map((each) => each.className))
  expect(order.indexOf("cautions")).toBeGreaterThan(-1)
  expect(order.indexOf("cautions")).toBeLessThan(order.indexOf("instruction"))
  const text = await page.locator(".cautions").textContent()
  expect(text).toContain("Hot lamp head: let it cool first.")
  expect(text).toContain("Local codes and licensed practice come first.")
})

test("the whole job is done by keys alone", async () => {
  const page = await atBench()
  await page.keyboard.press("Alt+2")
  await page.keyboard.press("Alt+3")
  await page.locator(".instruction").waitFor()
  const tabTo = async (name: RegExp) => {
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press("Tab")
      const label = await page.evaluate(() => {
        const at = document.activeElement
        return at?.getAttribute("aria-label") ?? at?.textContent ?? ""
      })
      if (name.test(label)) return
    }
    throw new Error(`no Tab leads to ${name}`)
  }
  await tabTo(/^Gone/)
  await page.keyboard.press("Enter")
  await soon(() => page.evaluate(() => document.activeElement?.id)).toBe("step-title")
  await tabTo(/^Stays/)
  await page.keyboard.press("Enter")
  await soon(() => instruction(page)).toBe("Replace: lamp head")
})

test("the bench comes up without the editor's code", async () => {
  const { page, context } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await page.waitForTimeout(600)
  const second = await context.newPage()
  await second.goto(`${inject("playground")}#bench`)
  await second.locator(".instruction").waitFor()
  const sizes = await second.evaluate(() =>
    (performance.getEntriesByType("resource") as PerformanceResourceTiming[]).map(
      (each) => each.decodedBodySize,
    ),
  )
  // The editor alone is over 3 MB; the largest here is the compiler in its worker.
  expect(sizes.length).toBeGreaterThan(3)
  expect(Math.max(...sizes)).toBeLessThan(600_000)
})
