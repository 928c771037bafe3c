import type { Browser, BrowserContext, BrowserContextOptions, Page } from "playwright-core"
import { chromium } from "playwright-core"
import { afterAll, afterEach, beforeAll, expect, inject } from "vitest"
import { toFragment } from "../../../playground/share/share.ts"

/** A page of the playground and what it complained of; every test ends with no complaint. */
export interface Visit {
  readonly page: Page
  readonly context: BrowserContext
}

let browser: Browser
const open: BrowserContext[] = []
const complaints: string[] = []

/** Called once in a file of tests; gives the function that opens a fresh page, with nothing kept from before. */
export function playground(): (options?: BrowserContextOptions & { at?: string }) => Promise<Visit> {
  beforeAll(async () => {
    browser = await chromium.connect(inject("browser"))
  })
  afterEach(async () => {
    await Promise.all(open.splice(0).map((context) => context.close()))
    expect(complaints.splice(0)).toEqual([])
  })
  afterAll(() => browser.close())
  return async ({ at = "", ...options } = {}) => {
    // Fetching everything for the day without a network is one test's matter; in all others it would only be load.
    const context = await browser.newContext({
      viewport: { width: 1440, height: 900 },
      serviceWorkers: "block",
      ...options,
    })
    context.setDefaultTimeout(15_000)
    open.push(context)
    const page = await context.newPage()
    watch(page)
    await page.goto(inject("playground") + at)
    return { page, context }
  }
}

export function watch(page: Page): void {
  page.on("pageerror", (error) => complaints.push(error.stack ?? error.message))
  page.on("console", (message) => {
    if (message.type() === "error") complaints.push(message.text())
  })
}

/** Like `expect.poll`, with patience for a busy machine. */
export function soon<T>(get: () => T | Promise<T>) {
  return expect.poll(get, { timeout: 12_000 })
}

export async function station(
  page: Page,
  name: "Write" | "Graph" | "Bench" | "Cases" | "Ship",
): Promise<void> {
  await page
    .getByRole("navigation", { name: "Stations" })
    .getByRole("link", { name: new RegExp(`^${name}`) })
    .click()
}

/** The editor's text box; keys typed go there. */
export async function focusEditor(page: Page): Promise<void> {
  // Not by a click: what is offered in an empty text lies over its first line.
  await page.locator(".monaco-editor").first().getByRole("textbox").first().focus()
}

/** Selects the next place of the text in the editor, by its own search. */
export async function findText(page: Page, text: string): Promise<void> {
  await page.keyboard.press("ControlOrMeta+f")
  await page.keyboard.type(text)
  await page.keyboard.press("Enter")
  await page.keyboard.press("Escape")
}

/** Pastes a whole text over the active file. */
export async function paste(page: Page, text: string): Promise<void> {
  await focusEditor(page)
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"])
  await page.evaluate((content) => navigator.clipboard.writeText(content), text)
  await page.keyboard.press("ControlOrMeta+a")
  await page.keyboard.press("ControlOrMeta+v")
}

/** The fragment of a shared link, as the playground itself makes it. */
export async function shared(text: string): Promise<string> {
  return `#${await toFragment({ root: "shared.ruleout", files: { "shared.ruleout": text } })}`
}

/** Until the text is kept: a page that is left or loaded anew before that begins without it. */
export const kept = (page: Page) => soon(() => page.locator(".saved").textContent()).toMatch(/^Saved/)

/** Opens a shared text in a page that has something open already. */
export async function openShared(page: Page, text: string): Promise<void> {
  // From elsewhere: where the page is open already, a link only changes its fragment.
  await page.goto("about:blank")
  await page.goto(inject("playground") + (await shared(text)))
}

/** Whether the cautions of the step lie between the edges of what the page shows of it. */
export function areCautionsSeen(page: Page): Promise<boolean> {
  return page.locator(".step .cautions").evaluate((cautions) => {
    const { top, bottom } = cautions.getBoundingClientRect()
    const stage = document.getElementById("stage")?.getBoundingClientRect()
    return top >= (stage?.top ?? 0) && bottom <= (stage?.bottom ?? innerHeight)
  })
}

/** Drops a file of cases onto the page of cases, which is at hand. */
export async function dropCases(page: Page, text: string, name = "dropped.cases.jsonl"): Promise<void> {
  await page.locator(".cases").waitFor()
  await page.evaluate(
    ([content, file]) => {
      const data = new DataTransfer()
      data.items.add(new File([content!], file!))
      document
        .querySelector(".cases")!
        .dispatchEvent(new DragEvent("drop", { bubbles: true, dataTransfer: data }))
    },
    [text, name],
  )
}

/** Begins a text, and closes the list of what it can begin with, which covers it. */
export async function startEmpty(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Start empty" }).click()
  await page.locator(".suggest-widget.visible").getByRole("option").first().waitFor()
  await page.keyboard.press("Escape")
}

/** A fresh playground with this text as its one file, and the plan of it or why there is none. */
export async function begin(
  page: Page,
  text: string,
  ends: "planned" | "blocked" = "planned",
): Promise<void> {
  await startEmpty(page)
  await paste(page, text)
  if (ends === "planned") await compiled(page)
  else await page.getByText("Fix the errors first.").waitFor()
}

/** Waits for a plan of the text now shown; a better one may follow. */
export async function compiled(page: Page): Promise<void> {
  await page.getByText("A job costs", { exact: true }).waitFor()
  await page.getByText("From before your last changes.").waitFor({ state: "detached" })
}

/** Waits until the search for a plan of the text now shown is over. */
export async function planned(page: Page): Promise<void> {
  await compiled(page)
  await page.getByText("The search continues").waitFor({ state: "detached" })
  await page.locator(".searching").waitFor({ state: "detached" })
}

/** All that the page keeps in a part of the browser's store. */
function stored(page: Page, part: "now" | "jobs" | "caseFiles"): Promise<unknown[]> {
  return page.evaluate(
    (name) =>
      new Promise<unknown[]>((done, fail) => {
        const request = indexedDB.open("ruleout")
        request.onerror = () => fail(request.error)
        request.onsuccess = () => {
          const all = request.result.transaction(name).objectStore(name).getAll()
          all.onsuccess = () => {
            request.result.close()
            done(all.result)
          }
        }
      }),
    part,
  )
}

/** The text of all files as the page keeps it in the browser's store. */
export async function keptFiles(page: Page): Promise<Record<string, string>> {
  const projects = (await stored(page, "now")) as { readonly files?: Record<string, string> }[]
  return projects.find((each) => each?.files !== undefined)?.files ?? {}
}

/** The jobs at the bench as the page keeps them in the browser's store. */
export async function keptJobs(page: Page): Promise<{ readonly steps: readonly unknown[] }[]> {
  return (await stored(page, "jobs")) as { readonly steps: readonly unknown[] }[]
}

/** The recorded jobs as the page keeps them in the browser's store. */
export async function keptRecords(page: Page): Promise<unknown[]> {
  const files = (await stored(page, "caseFiles")) as { readonly text: string }[]
  return files.flatMap(({ text }) => text.split("\n")).map((line) => JSON.parse(line))
}

/** What the button gives as a download, as text. */
export async function downloaded(page: Page, button: string): Promise<string> {
  const download = page.waitForEvent("download")
  await page.getByRole("button", { name: button, exact: true }).click()
  let text = ""
  for await (const part of await (await download).createReadStream()) text += part
  return text
}

/** What has the keyboard, in whatever shadow tree: its id, and what it is called. */
export function focused(page: Page): Promise<{ readonly id: string; readonly label: string }> {
  return page.evaluate(() => {
    let at = document.activeElement
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement
    return { id: at?.id ?? "", label: at?.getAttribute("aria-label") ?? at?.textContent ?? "" }
  })
}
