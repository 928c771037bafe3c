import { expect, test } from "vitest"
import { lineOf } from "../../playground/state/line-of.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { faults } from "./support/axe.ts"
import { LAMP } from "./support/lamp.ts"
import {
  begin,
  compiled,
  findText,
  focusEditor,
  keptFiles,
  paste,
  playground,
  soon,
  startEmpty,
  station,
  watch,
} from "./support/page.ts"

const visit = playground()

test("a ruleset is written from nothing, by keys alone and with what completion offers", async () => {
  const { page } = await visit()
  await startEmpty(page)
  await focusEditor(page)
  const type = (text: string) => page.keyboard.type(text)
  /** Accepts the one offer that begins like this; snippets are left by Escape. */
  const accept = async (typed: string, offer: string) => {
    await type(typed)
    await page.locator(".suggest-widget.visible").getByRole("option", { name: offer }).first().waitFor()
    await page.keyboard.press("Tab")
  }
  // `"` closes itself; the second one is typed over.
  await type('ruleset lamp_dark "Desk lamp, no light"\nmoney EUR\n')
  await type('part bulb "bulb" price 6 spare\n')
  await type('setup plug "mains plug"\n')
  await type('complaint dark "no light"\n')
  await type('fault bulb_dead "bulb failed" in ')
  await accept("bu", "bulb")
  await type(" odds 6\n")
  await type('fault plug_loose "plug not home" in plug odds 4\n')
  await type('test try_bulb "Fit the known-good bulb" swaps ')
  await accept("b", "bulb")
  // At two minutes it would cost the same as pushing the plug home first.
  await type(" takes 3 min\n")
  await type('test reseat "Push the plug home" redoes ')
  await accept("pl", "plug")
  await type(" takes 1 min\n")
  // A whole declaration, with places to fill in one after the other.
  await accept("faul", "fault")
  await type("bulb_out")
  await page.keyboard.press("Tab")
  await type("bulb not home")
  await page.keyboard.press("Tab")
  await type("bulb")
  await page.keyboard.press("Tab")
  await type("2\n")
  await compiled(page)
  await soon(async () => Object.values(await keptFiles(page))[0]).toContain("takes 1 min")
  const text = Object.values(await keptFiles(page))[0]!
  expect(text).toContain('fault bulb_dead "bulb failed" in bulb odds 6\n')
  expect(text).toContain('fault bulb_out "bulb not home" in bulb odds 2\n')
  expect(text).toContain('test try_bulb "Fit the known-good bulb" swaps bulb takes 3 min\n')
  await station(page, "Bench")
  expect(await page.locator(".instruction").textContent()).toBe("Push the plug home")
})

test("a problem is shown in the text and in the list, and its edit fixes it: a wrong name, a contradiction", async () => {
  const { page } = await visit()
  await startEmpty(page)
  await paste(page, KIOSK_DARK.replace("rule out supply_low", "rule out supply_lwo"))
  const problem = page.locator(".problem.error")
  await problem.getByText("supply_lwo").first().waitFor()
  await page.locator(".monaco-editor .squiggly-error").first().waitFor()
  await problem
    .getByRole("button", { name: /supply_low/ })
    .last()
    .click()
  await soon(() => problem.count()).toBe(0)
  await soon(async () => Object.values(await keptFiles(page))[0]).toContain("rule out supply_low\n")
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+z")
  await problem.getByText("supply_lwo").first().waitFor()

  // What the analysis finds is fixed in the same way; here from the keyboard.
  await paste(page, `${LAMP}when output below 9 V rule out head_dead, connector_loose, battery_flat\n`)
  await problem.getByText("this one rule leaves no fault").waitFor()
  expect(await problem.textContent()).toContain("contradiction")
  await focusEditor(page)
  await page.keyboard.press("F8")
  await page.keyboard.press("Escape")
  await page.keyboard.press("ControlOrMeta+.")
  const offer = page.locator(".action-widget .title", { hasText: "Let the rule spare `head_dead`" }).first()
  await offer.waitFor()
  expect(
    await offer.evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth),
  ).toBeLessThanOrEqual(0)
  await page.keyboard.press("ArrowDown")
  await page.keyboard.press("Enter")
  await compiled(page)
  await soon(async () => Object.values(await keptFiles(page))[0]).toMatch(
    /battery_flat except \w+\n|never output below 9 V/,
  )
  expect(await problem.count()).toBe(0)
})

test("an empty page says how to begin; a text from a word processor is fixed in one step that can be undone", async () => {
  const { page } = await visit()
  await page.getByRole("button", { name: "Start empty" }).click()
  await page.locator(".problems").getByText("The file is empty").waitFor()
  // Begun with the ruleset, and nothing is red before what is being written is finished.
  const options = page.locator(".suggest-widget.visible").getByRole("option")
  await options.first().waitFor()
  expect(await options.first().getAttribute("aria-label")).toMatch(/^ruleset/)
  await page.keyboard.press("Tab")
  await page.keyboard.type("lamp")
  await page.keyboard.press("Tab")
  await page.keyboard.type("Lamp")
  await page.keyboard.press("Tab")
  await page.keyboard.type("\nfault bulb_dead ")
  await page.getByText("Finish what you are writing.").waitFor()
  expect(await page.locator(".problem").count()).toBe(0)
  await page.keyboard.press("Control+Home")
  await page.locator(".problem.error").getByText("Expected the label").waitFor()
  await page.keyboard.press("ControlOrMeta+a")
  await page.keyboard.press("Delete")
  await page.locator(".problems").getByText("The file is empty").waitFor()
  expect(await page.locator(".problems a").getAttribute("href")).toBe("#help/from-a-notebook")
  const quotes = /"([^"\n]*)"/g
  const text = LAMP.replace(quotes, "“$1”").replaceAll(" odds", "\u00a0odds")
  await paste(page, text)
  const fixAll = page.getByRole("button", { name: "Apply the 2 safe fixes" })
  await fixAll.waitFor()
  expect(await page.locator(".problem").count()).toBe(2)
  await fixAll.click()
  await compiled(page)
  await soon(async () => Object.values(await keptFiles(page))[0]).toBe(LAMP)
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+z")
  await soon(async () => Object.values(await keptFiles(page))[0]).toBe(text)
})

test("formatting, outline, uses, hover and definition answer to their keys", async () => {
  const { page } = await visit()
  await begin(page, LAMP.replace("part  head      ", "part head     "))
  await focusEditor(page)
  await page.keyboard.press("Shift+Alt+f")
  await soon(async () => Object.values(await keptFiles(page))[0]).toContain(
    "reads output  takes 30 min  power on",
  )
  await page.keyboard.press("ControlOrMeta+Shift+o")
  await page.locator(".quick-input-list").getByText("meter_head").first().waitFor()
  await page.keyboard.type("try_battery")
  await page.keyboard.press("Enter")
  await soon(() => page.locator(".active-line-number").first().textContent()).not.toBe("1")
  // Beside the odds stand the chances, and beside the text its outline.
  await page.locator(".view-line", { hasText: "fault battery_flat" }).getByText("9.1").waitFor()
  await page.getByRole("button", { name: "Outline" }).click()
  const outline = page.locator(".file-outline")
  expect(await outline.locator("[aria-current]").textContent()).toContain("try_battery")
  await outline.getByRole("searchbox").fill("worn")
  await outline.getByRole("button", { name: "battery_flat" }).click()
  await soon(() => page.locator(".active-line-number").first().textContent()).toBe("18")
  await page.getByRole("button", { name: "Outline" }).click()
  await page.keyboard.press("ControlOrMeta+Home")
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+Home")
  await findText(page, "swaps battery")
  await page.keyboard.press("ArrowRight")
  await page.keyboard.press("Shift+F12")
  await page.locator(".peekview-widget").getByText("References (3)").first().waitFor()

  await page.keyboard.press("Escape")
  await paste(page, KIOSK_DARK)
  await findText(page, "try_driver")
  await page
    .locator(".view-line span", { hasText: /^try_driver$/ })
    .first()
    .hover()
  await page.locator(".monaco-hover").getByText("Also redoes").waitFor()
  await page.keyboard.press("Escape")
  await findText(page, "rule out supply_low")
  await page.keyboard.press("ArrowRight")
  await page.keyboard.press("F12")
  await soon(() => page.locator(".monaco-editor .active-line-number").first().textContent()).toBe("17")
})

test("a name is renamed in all files", async () => {
  const { page } = await visit()
  await begin(page, LAMP)
  await page.getByRole("button", { name: "Add file" }).click()
  await page.getByLabel("Name of the new file").fill("meters")
  await page.getByRole("button", { name: "Add", exact: true }).click()
  await paste(page, 'test meter_again "Meter once more" reads output takes 2 min\n')
  await page.getByRole("tab", { name: "new.ruleout" }).click()
  await paste(page, `use "meters.ruleout"\n${LAMP}`)
  await compiled(page)
  // The caret to a use of the name: F2 renames what it stands on.
  await findText(page, "reads output")
  await page.keyboard.press("ArrowRight")
  await page.keyboard.press("F2")
  const name = page.locator(".rename-box input")
  await name.fill("head")
  await page.keyboard.press("Enter")
  await page.locator(".notice").getByText("is already declared. Every name must be unique.").waitFor()
  await page.keyboard.press("F2")
  await name.fill("head_volts")
  await page.keyboard.press("Enter")
  await soon(async () => (await keptFiles(page))["meters.ruleout"]).toContain("reads head_volts takes")
  const files = await keptFiles(page)
  expect(files["new.ruleout"]!.match(/\bhead_volts\b/g)).toHaveLength(4)
  expect(files["new.ruleout"]).toContain("shows head_volts below 9 V")
  await compiled(page)
  // From its use in one file to its declaration in the other.
  await page.getByRole("tab", { name: "meters.ruleout" }).click()
  await focusEditor(page)
  await findText(page, "reads head")
  await page.keyboard.press("ArrowRight")
  await page.keyboard.press("F12")
  await page.locator('[role="tab"][aria-selected="true"]', { hasText: "new.ruleout" }).waitFor()
})

test("a reload loses nothing: text, file shown, job, cases, colours, panes", async () => {
  const { page } = await visit()
  await begin(page, LAMP)
  // The pane's edge is moved by keys and dragged.
  const edge = page.getByRole("separator", { name: "Width of what is beside the text" })
  const besideWidth = async () => (await page.locator(".beside").boundingBox())!.width
  const usual = await besideWidth()
  await edge.press("ArrowLeft")
  expect(await besideWidth()).toBeGreaterThan(usual)
  await edge.press("Home")
  expect(await besideWidth()).toBe(usual)
  await edge.hover()
  await page.mouse.down()
  await page.mouse.move(720, 400, { steps: 3 })
  await page.mouse.up()
  expect(await besideWidth()).toBeCloseTo(720, 0)
  await page.getByRole("button", { name: /^Colours/ }).click()
  await page.keyboard.press("ControlOrMeta+End")
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+End")
  await page.keyboard.type("# the last words")
  await compiled(page)
  await station(page, "Bench")
  await page
    .getByRole("button", { name: /^No/ })
    .or(page.getByRole("button", { name: /^Stays/ }))
    .first()
    .click()
  const log = await page.locator(".log li").allInnerTexts()
  expect(log).toHaveLength(1)
  await page.reload()
  await soon(() => page.locator(".log li").allInnerTexts()).toEqual(log)
  expect(await page.locator("html").getAttribute("data-theme")).toBe("light")
  expect(Object.values(await keptFiles(page))[0]!.endsWith("# the last words")).toBe(true)
  await station(page, "Ship")
  await page.getByText("Earlier versions").waitFor()
  await station(page, "Write")
  expect(await besideWidth()).toBeCloseTo(720, 0)
})

test("what the page did not survive analysing isn't analysed on the next opening until somebody asks", async () => {
  const { page, context } = await visit()
  // Analysis that never ends, and a page that is gone in the middle of it.
  await page.addInitScript(() => {
    const post = Worker.prototype.postMessage
    Worker.prototype.postMessage = function (message: object, ...others: never[]) {
      if (!("run" in message)) post.call(this, message, ...others)
    }
  })
  await page.reload()
  await startEmpty(page)
  await paste(page, LAMP)
  await page.getByText("Checking…", { exact: true }).waitFor()
  await soon(async () => Object.values(await keptFiles(page))).toEqual([LAMP])
  const lost = page.waitForEvent("crash")
  page.goto("chrome://crash").catch(() => {})
  await lost

  for (let opened = 1; opened <= 2; opened++) {
    const again = await context.newPage()
    watch(again)
    await again.goto(page.url())
    await again.getByText("closed unexpectedly while it analysed this ruleset").waitFor()
    await focusEditor(again)
    await again.keyboard.press("ControlOrMeta+End")
    await again.keyboard.type("# still too large")
    await soon(async () => Object.values(await keptFiles(again))[0]).toContain("# still too large")
    await again.getByText("It isn't analysed.", { exact: false }).first().waitFor()
    expect(await again.getByRole("button", { name: "Analyse it" }).count()).toBe(1)
    await again.close()
  }
  const asked = await context.newPage()
  await asked.goto(page.url())
  await asked.getByRole("button", { name: "Analyse it" }).click()
  await compiled(asked)
  await asked.reload()
  await compiled(asked)
})

test("a line far down is shown every time, from another station and from the list; commands are a key away", async () => {
  const { page } = await visit()
  const far = LAMP.replace("proof ", `${"# between\n".repeat(300)}proof `)
  await begin(page, far)
  const goes = page.locator(".source-lines button").last()
  for (let i = 0; i < 10; i++) {
    await page.emulateMedia({ reducedMotion: i % 2 === 0 ? "no-preference" : "reduce" })
    await station(page, "Graph")
    await page.getByRole("searchbox").fill("close")
    await page.keyboard.press("Enter")
    await goes.waitFor()
    await goes.click()
    await page.locator(".view-line", { hasText: "Switch it on and shake it" }).waitFor()
    await focusEditor(page)
    await page.keyboard.press("ControlOrMeta+Home")
    await page.locator(".view-line", { hasText: "ruleset work_light" }).waitFor()
  }
  await page.keyboard.press("F1")
  const commands = page.locator(".quick-input-widget")
  await commands.waitFor()
  await page.keyboard.type("Save the file")
  await commands.getByText("Save the file").first().waitFor()
  await page.keyboard.press("Escape")
  await page.locator(".view-line").first().click({ button: "right" })
  const menu = page.locator(".monaco-scrollable-element", { has: page.locator(".monaco-menu") }).last()
  await menu.getByText("Command Palette").waitFor()
  // In the page's colours.
  const paperOf = (box: Element) => getComputedStyle(box).backgroundColor
  expect(await menu.evaluate(paperOf)).toBe(await page.locator(".head").evaluate(paperOf))
})

test("scenarios are played on the plan: what isn't as expected is said at its line, and each opens at the bench", async () => {
  const text = `${LAMP}
scenario "A flat battery"
  finds output is 5 V
  expects battery_flat at least 50%
scenario "The battery first"
  expects next try_battery
`
  const { page } = await visit()
  await begin(page, text)
  await page.getByRole("button", { name: "Scenarios" }).click()
  const scenarios = page.locator(".scenario")
  await page.getByText("1 scenario not as expected.").waitFor()
  expect(await scenarios.first().textContent()).toContain("as expected: A flat battery")
  expect(await faults(page)).toEqual([])
  expect(await scenarios.last().textContent()).toContain("Expected try_battery next, but it is")
  await scenarios
    .last()
    .getByRole("button", { name: `line ${lineOf(text, text.indexOf("expects next"))}` })
    .click()
  await soon(() => page.locator(".active-line-number").first().textContent()).toBe(
    `${lineOf(text, text.indexOf("expects next"))}`,
  )
  await scenarios.first().getByRole("button", { name: "Open at the bench" }).click()
  await soon(() => page.locator(".log li").count()).toBe(1)
  expect(await page.locator(".log li").textContent()).toContain("5 V")
})
