import type { Page } from "playwright-core"
import { expect, inject, test } from "vitest"
import { faults } from "./support/axe.ts"
import { LAMP } from "./support/lamp.ts"
import {
  compiled,
  downloaded,
  focusEditor,
  kept,
  keptFiles,
  openShared,
  playground,
  shared,
  soon,
  startEmpty,
  station,
  watch,
} from "./support/page.ts"

const visit = playground()

const tabs = (page: Page) => page.getByRole("tab").allTextContents()

/** In place of the browser's pickers, which no script may press: real handles, of the files that only this page has. */
function pickers(): void {
  const folder = navigator.storage.getDirectory()
  const asked: string[] = []
  const openFile = async (name: string) => (await folder).getFileHandle(name, { create: true })
  Object.assign(window, {
    asked,
    showOpenFilePicker: () => Promise.all(["lamp.ruleout", "meters.ruleout"].map(openFile)),
    showSaveFilePicker({ suggestedName }: { suggestedName: string }) {
      asked.push(suggestedName)
      if (suggestedName === "unwanted.ruleout")
        return Promise.reject(new DOMException("turned back", "AbortError"))
      return openFile(suggestedName)
    },
  })
}

const asked = (page: Page) => page.evaluate(() => (window as unknown as { asked: string[] }).asked)

function onDisk(page: Page, name: string): Promise<string> {
  return page.evaluate(async (file) => {
    const handle = await (await navigator.storage.getDirectory()).getFileHandle(file)
    return (await handle.getFile()).text()
  }, name)
}

async function putOnDisk(page: Page, files: Record<string, string>): Promise<void> {
  await page.evaluate(async (all) => {
    for (const [name, text] of Object.entries(all)) {
      const handle = await (await navigator.storage.getDirectory()).getFileHandle(name, { create: true })
      const file = await handle.createWritable()
      await file.write(text)
      await file.close()
    }
  }, files)
}

async function addFile(page: Page, name: string): Promise<void> {
  await page.getByRole("button", { name: "Add file" }).click()
  await page.getByLabel("Name of the new file").fill(name)
  await page.getByRole("button", { name: "Add", exact: true }).click()
}

test("files are opened and saved in place, in the folders of `use`, and never over a file of another ruleset", async () => {
  const { page, context } = await visit()
  await context.addInitScript(pickers)
  await page.reload()
  const main = LAMP.replace(/^test meter_head.*\n.*\n/m, "").replace(
    "part  head",
    'use "shared/meters.ruleout"\n\npart  head',
  )
  const meters = 'test meter_head "Meter the head\'s plug" reads output takes 30 min\n'
  await putOnDisk(page, { "lamp.ruleout": main, "meters.ruleout": meters })
  await startEmpty(page)
  await page.getByRole("button", { name: "Open…" }).click()
  await compiled(page)
  expect(await tabs(page)).toEqual(["lamp.ruleout", "shared/meters.ruleout"])

  await page.getByRole("tab", { name: "shared/meters.ruleout" }).click()
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+Home")
  await page.keyboard.type("# all meters\n")
  await page.keyboard.press("ControlOrMeta+s")
  await page.getByText("Saved shared/meters.ruleout.").waitFor()
  expect(await onDisk(page, "meters.ruleout")).toBe(`# all meters\n${meters}`)
  expect(await onDisk(page, "lamp.ruleout")).toBe(main)
  expect(await asked(page)).toEqual([])

  // A file that was not opened is asked for once; who turns back has saved nothing.
  await addFile(page, "unwanted")
  await page.getByRole("button", { name: "Save…" }).click()
  await addFile(page, "fresh")
  for (let i = 0; i < 2; i++) {
    await page.getByRole("button", { name: "Save…" }).click()
    await page.getByText("Saved fresh.ruleout.").waitFor()
  }
  expect(await asked(page)).toEqual(["unwanted.ruleout", "fresh.ruleout"])
  expect(await onDisk(page, "fresh.ruleout")).toBe("")
  expect(await page.getByText("Saved unwanted.ruleout.").count()).toBe(0)

  // Another ruleset with files of the same names asks before it writes anywhere.
  await station(page, "Ship")
  await page.getByRole("button", { name: "Open the example Ticket kiosk: powered, screen dark" }).click()
  await page.getByRole("button", { name: "Save ticket-kiosk.ruleout" }).click()
  await soon(() => asked(page)).toHaveLength(3)
})

test("where the browser has no such access, opening is a picker and saving a download", async () => {
  const { page, context } = await visit()
  await context.addInitScript(() => {
    Reflect.deleteProperty(window, "showOpenFilePicker")
    Reflect.deleteProperty(window, "showSaveFilePicker")
  })
  await page.reload()
  await startEmpty(page)
  const chooser = page.waitForEvent("filechooser")
  await page.getByRole("button", { name: "Open…" }).click()
  await (await chooser).setFiles({
    name: "lamp.ruleout",
    mimeType: "text/plain",
    buffer: Buffer.from(LAMP),
  })
  await compiled(page)
  expect(await tabs(page)).toEqual(["lamp.ruleout"])
  expect(await downloaded(page, "Save…")).toBe(LAMP)
})

test("an earlier version is opened from the history, and the way back stays open", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await station(page, "Ship")
  await page.getByRole("button", { name: "Open the example Ticket kiosk: powered, screen dark" }).click()
  const kiosk = ["ticket-kiosk.de.ruleout", "ticket-kiosk.ruleout"]
  await soon(async () => Object.keys(await keptFiles(page)).sort()).toEqual(kiosk)
  const lines = `${LAMP.split("\n").length} lines, before opening another`
  const before = page.locator(".history li", { hasText: lines })
  await before.getByRole("button", { name: /^Open/ }).click()
  await soon(() => keptFiles(page)).toEqual({ "shared.ruleout": LAMP })
  await page.getByRole("button", { name: "Back to mine" }).click()
  await soon(async () => Object.keys(await keptFiles(page)).sort()).toEqual(kiosk)
})

test("versions have names and a difference, with the text now and with each other", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await kept(page)
  await openShared(page, LAMP.replace("odds 5", "odds 7"))
  await station(page, "Ship")
  const first = page.locator(".history li").last()
  await soon(() => page.locator(".history li").count()).toBeGreaterThan(1)
  await first.getByRole("textbox").fill("as the shop had it")
  await first.getByRole("textbox").press("Enter")
  await page.getByText("as the shop had it", { exact: false }).first().waitFor()
  await first.getByRole("button", { name: /^Compare with/ }).click()
  await page.getByRole("heading", { name: "What changed since as the shop had it" }).waitFor()
  const lines = async (kind: string) =>
    (await page.locator(`.diff .${kind}`).allTextContents()).join("").trim()
  await soon(() => lines("removed")).toMatch(/^− fault head_dead .* odds 5$/)
  expect(await lines("added")).toMatch(/^\+ fault head_dead .* odds 7$/)
  expect(await faults(page)).toEqual([])
  const select = page.locator(".difference select")
  expect(await select.locator("option").first().textContent()).toBe("the text now")
})

test("undo goes on after a reload; a text that another tab wrote is told of, and both stay", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Write")
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+Home")
  await page.keyboard.type("# first\n# second\n")
  await page.keyboard.type("undone")
  await page.keyboard.press("ControlOrMeta+z")
  const first = async () => (await keptFiles(page))["shared.ruleout"]!.slice(0, 20)
  await soon(first).toMatch(/^# first\n# second(?!\n?undone)/)
  await page.reload()
  await focusEditor(page)
  for (let i = 0; i < 12; i++) await page.keyboard.press("ControlOrMeta+z")
  await soon(() => keptFiles(page)).toEqual({ "shared.ruleout": LAMP })

  const second = await page.context().newPage()
  watch(second)
  await second.goto(`${inject("playground")}#write`)
  await focusEditor(second)
  await second.keyboard.press("ControlOrMeta+Home")
  await second.keyboard.type("# second tab\n")
  await page.getByText("The text was changed in another tab.").waitFor()
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+Home")
  await page.keyboard.type("# first tab\n")
  await second.getByText("The text was changed in another tab.").waitFor()
  await second.getByRole("button", { name: "Show the other text" }).click()
  await soon(() => second.locator(".view-line").first().textContent()).toContain("first")
  await station(second, "Ship")
  await soon(() => second.locator(".history").textContent()).toContain("before the text of another tab")
})
