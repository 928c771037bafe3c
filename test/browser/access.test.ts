import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Page } from "playwright-core"
import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { writePage } from "../../compiler/ship/page.ts"
import { SHEET_KINDS } from "../../compiler/ship/sheets/sheets.ts"
import type { Texts } from "../../compiler/wording/message.ts"
import { pseudoTexts, rightToLeftTexts, strayWords } from "../support/pseudo-language.ts"
import { faults, faultsInAllColours } from "./support/axe.ts"
import { cases80, LAMP, LAMP_HEDGED } from "./support/lamp.ts"
import {
  begin,
  dropCases,
  findText,
  focusEditor,
  playground,
  shared,
  soon,
  station,
  watch,
} from "./support/page.ts"

const visit = playground()
/** How much wider than the screen the page is, or what is on its stage. */
const wide = (page: Page) =>
  page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.getElementById("stage")!
    return Math.max(document.documentElement.scrollWidth - innerWidth, scrollWidth - clientWidth)
  })

/** The hedged light with a step that waits. */
const LAMP_WAITING = LAMP_HEDGED.replace(
  "swaps head takes 6 min",
  "swaps head takes 6 min waits 30 min",
).replace("proof ", 'told damp "Was it used in the rain?"  yes or no\n\nproof ')

const screens = [
  { width: 1440, height: 900 },
  { width: 360, height: 740 },
  { width: 1024, height: 768 },
]

test.each(screens)(
  "axe finds nothing at $width px, in light, in dark and with forced colours",
  async (viewport) => {
    // Colours that are on their way from one scheme to the other would be measured as they are.
    const { page } = await visit({ viewport, reducedMotion: "reduce" })
    const isClean = async () => expect(await faultsInAllColours(page)).toEqual([])
    await page.locator(".welcome").waitFor()
    await isClean()
    await begin(page, LAMP)
    await isClean()
    await station(page, "Graph")
    await page.locator(".canvas .node").first().waitFor()
    await isClean()
    await station(page, "Bench")
    await page.getByRole("button", { name: /^Gone/ }).click()
    await page.locator(".machine-status").getByText("The shop's part is in").waitFor()
    await isClean()
    await page.getByRole("button", { name: /^Gone/ }).click()
    await page.getByRole("button", { name: /^Passed once more/ }).waitFor()
    await page.getByText("Found or did something else?").click()
    await isClean()
    await page.getByRole("button", { name: "1 job" }).click()
    await page.locator(".job-list").waitFor()
    await isClean()
    await page.getByRole("button", { name: "1 job" }).click()
    await page.getByRole("button", { name: "Handover", exact: true }).click()
    await page.frameLocator("iframe").getByRole("heading", { name: "Handover" }).waitFor()
    await isClean()
    await station(page, "Cases")
    await dropCases(page, cases80())
    await page.locator(".plot svg").first().waitFor()
    await isClean()
    await station(page, "Write")
    await page.locator(".line-uses").first().waitFor()
    await isClean()
    await station(page, "Ship")
    await page.getByRole("combobox", { name: /^Format/ }).selectOption("Page")
    await page.getByRole("region", { name: "Preview: Page" }).waitFor()
    await page.getByRole("button", { name: "Make a link" }).click()
    await page.getByRole("img", { name: "QR code" }).waitFor()
    await page.getByRole("button", { name: "Make a new key" }).click()
    await page.getByText("What you save from here on is signed").waitFor()
    await isClean()
    expect(await wide(page)).toBeLessThanOrEqual(0)
  },
)

test("no view is wider than the screen, from 360 px to 4k, at 200 % and with words that have no spaces", async () => {
  const cjk = LAMP.replaceAll('"lamp head"', '"作業用照明器具頭部交換可能部品一式"')
  const { page } = await visit({ at: await shared(cjk) })
  await page.locator(".instruction").waitFor()
  // 1440 px at 200 % are 720.
  for (const width of [360, 720, 1440, 3840]) {
    await page.setViewportSize({ width, height: Math.round(width * 0.6) + 200 })
    for (const name of ["Write", "Graph", "Bench", "Cases", "Ship"] as const) {
      await station(page, name)
      await page.waitForTimeout(60)
      expect(await wide(page), `${name} at ${width}`).toBeLessThanOrEqual(0)
    }
  }
})

test("with forced colours the current station shows by its border, and others by none", async () => {
  const { page } = await visit({ at: await shared(LAMP), forcedColors: "active" })
  await page.locator(".instruction").waitFor()
  const border = (name: string) =>
    page
      .getByRole("navigation", { name: "Stations" })
      .getByRole("link", { name })
      .evaluate((link) => getComputedStyle(link).borderBottomColor)
  const [bench, write] = [await border("Bench"), await border("Write")]
  expect(bench).not.toBe(write)
  const paper = await page.evaluate(() => getComputedStyle(document.querySelector(".head")!).backgroundColor)
  expect(write).toBe(paper)
})

test("a message covers nothing, the header's buttons keep to one line, and the keys are a dialog", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  const box = async (selector: string) => (await page.locator(selector).first().boundingBox())!
  await page.getByText("Opened the shared ruleset.").waitFor()
  for (const width of [360, 1141, 1280]) {
    await page.setViewportSize({ width, height: 740 })
    const [notice, stage, stations, button] = [
      await box(".notice"),
      await box(".stage"),
      await box(".stations"),
      await box(".tools button"),
    ]
    expect(notice.y).toBeGreaterThanOrEqual(stage.y + stage.height)
    expect(stations.y >= notice.y + notice.height || stations.y + stations.height <= stage.y).toBe(true)
    expect(button.height).toBeLessThan(50)
    expect(await wide(page), `at ${width}`).toBeLessThanOrEqual(0)
  }
  await page.getByRole("button", { name: "Keys" }).click()
  await page.getByRole("dialog", { name: "Keys" }).getByText("all commands").waitFor()
  expect(await faults(page)).toEqual([])
})

test("the editor is no trap for the keyboard, the graph is walked by arrows, and text and graph point at each other", async () => {
  const { page } = await visit()
  await begin(page, LAMP)
  await focusEditor(page)
  await page.keyboard.press("Escape")
  await soon(() => page.evaluate(() => document.activeElement?.id)).toBe("after-editor")
  await page.keyboard.press("Alt+2")
  const canvas = page.getByRole("application")
  await canvas.focus()
  const chosen = page.locator("#graph-chosen")
  await page.keyboard.press("Home")
  expect(await chosen.textContent()).toContain("Fit the known-good lamp head")
  await page.keyboard.press("ArrowRight")
  expect(await chosen.textContent()).toContain("Put the old part back: lamp head")
  await page.keyboard.press("ArrowDown")
  expect(await chosen.textContent()).not.toContain("Put the old part back")
  await page.keyboard.press("ArrowLeft")
  expect(await chosen.textContent()).toContain("Fit the known-good lamp head")

  await page.keyboard.press("Alt+1")
  await page.getByRole("button", { name: "Graph beside the text" }).click()
  await page.locator(".canvas .node").first().waitFor()
  await focusEditor(page)
  await findText(page, "test try_head")
  await page.locator(".canvas .node.lit").first().waitFor()
  await page.locator(".outcomes button").first().click()
  await page.locator(".source-lines button").first().click()
  await soon(() => page.locator(".monaco-editor .selected-text").count()).toBeGreaterThan(0)
})

test("the graph is dragged, zoomed by the wheel, pinched and dragged by fingers, and a tap chooses", async () => {
  const { page, context } = await visit({ at: await shared(LAMP), hasTouch: true })
  await page.locator(".instruction").waitFor()
  await station(page, "Graph")
  await page.locator(".canvas .node").first().waitFor()
  const canvas = (await page.locator(".canvas").boundingBox())!
  const [x, y] = [Math.round(canvas.x + canvas.width / 2), Math.round(canvas.y + canvas.height - 160)]
  const camera = async () => {
    const text = await page.locator(".canvas svg > g").getAttribute("transform")
    const [, left, top, scale] = /translate\((\S+) (\S+)\) scale\((\S+)\)/.exec(text!)!.map(Number)
    return { left: left!, top: top!, scale: scale! }
  }
  /** Where a point of the screen lies in the drawing. */
  const under = async () => {
    const { left, top, scale } = await camera()
    return [(x - canvas.x - left) / scale, (y - canvas.y - top) / scale] as const
  }
  const start = await camera()
  await page.mouse.move(x, y)
  await page.mouse.down()
  await page.mouse.move(x - 70, y - 30, { steps: 4 })
  await page.mouse.up()
  const dragged = await camera()
  expect([dragged.left - start.left, dragged.top - start.top]).toEqual([-70, -30])
  expect(dragged.scale).toBe(start.scale)

  const stays = await under()
  await page.mouse.move(x, y)
  await page.mouse.wheel(0, -200)
  await soon(async () => (await camera()).scale).toBeGreaterThan(start.scale * 1.3)
  const after = await under()
  expect(after[0]).toBeCloseTo(stays[0], 3)
  expect(after[1]).toBeCloseTo(stays[1], 3)

  const fingers = await context.newCDPSession(page)
  const touch = (
    type: "touchStart" | "touchMove" | "touchEnd",
    points: readonly (readonly [number, number])[],
  ) =>
    fingers.send("Input.dispatchTouchEvent", {
      type,
      touchPoints: points.map(([px, py], id) => ({ x: px, y: py, id })),
    })
  const wheeled = await camera()
  await touch("touchStart", [
    [x - 100, y],
    [x + 100, y],
  ])
  for (const reach of [90, 75, 60, 50])
    await touch("touchMove", [
      [x - reach, y],
      [x + reach, y],
    ])
  await touch("touchEnd", [])
  const pinched = await camera()
  expect(pinched.scale / wheeled.scale).toBeCloseTo(0.5, 1)
  const between = await under()
  expect(between[0]).toBeCloseTo(after[0], -1)

  await touch("touchStart", [[x, y]])
  for (const far of [15, 30, 45]) await touch("touchMove", [[x + far, y]])
  await touch("touchEnd", [])
  const moved = await camera()
  expect(moved.left - pinched.left).toBeCloseTo(45, 3)
  expect(moved.scale).toBe(pinched.scale)

  const node = page.locator(".canvas .node", { hasText: "Put back" }).first()
  const box = (await node.boundingBox())!
  await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2)
  await soon(() => page.locator(".detail h2").textContent()).toBe("Put the old part back: lamp head")
})

/** The page that ships, in a language that is made up; its own words are all from the catalogues then. */
async function madeUp(language: string, texts: Texts) {
  const { context } = await visit({ locale: language })
  const part = (name: string) => readFileSync(join(import.meta.dirname, "../../dist/parts", name), "utf8")
  const { graph } = compile("lamp.ruleout", () => LAMP_WAITING)
  const languages = [{ language }]
  const html = writePage({ ...graph!, languages }, { script: part("bench.js"), style: part("bench.css") })
  const carried = `<script type="application/json" id="texts">${JSON.stringify({ [language]: texts })}</script>`
  const page = await context.newPage()
  watch(page)
  await page.route("https://shop.example/", (route) =>
    route.fulfill({ contentType: "text/html", body: html.replace('<div id="page">', `${carried}$&`) }),
  )
  await page.goto("https://shop.example/")
  await page.locator(".instruction").waitFor()
  return { page, graph: graph! }
}

/** All that a page says, in whatever shadow tree or sheet, to the eye or to a screen reader. */
async function said(page: Page): Promise<string[]> {
  const all = await Promise.all(page.frames().map((frame) => frame.evaluate(textsOfPage)))
  return all.flat()
}

function textsOfPage(): string[] {
  const texts: string[] = []
  const walk = (node: Node): void => {
    if (node instanceof Text) texts.push(node.data)
    if (node instanceof Element) {
      // What languages are called isn't ours to say.
      if (/^(script|style|noscript)$/i.test(node.tagName) || node.matches("option[lang]")) return
      for (const name of ["aria-label", "title", "placeholder", "alt", "label"])
        texts.push(node.getAttribute(name) ?? "")
      if (node.shadowRoot) walk(node.shadowRoot)
    }
    for (const child of node.childNodes) walk(child)
  }
  walk(document)
  return texts
}

const MONTHS = Array.from({ length: 12 }, (_, month) =>
  new Date(2026, month).toLocaleString("en", { month: "short" }),
)

/** All strings in a document, and as they begin a sentence. */
function stringsIn(value: unknown): string[] {
  if (typeof value === "string") return [value, value.charAt(0).toUpperCase() + value.slice(1)]
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(stringsIn) : []
}

/** Goes through all that the bench and its desk can show, and looks around at each stop. */
async function goAbout(page: Page, look: (stop: string) => Promise<void>): Promise<void> {
  const button = (place: string, at = 0) => page.locator(`${place} button`).nth(at)
  await look("first step")
  await page.locator(".step > .row button").first().click()
  await look("what hinders")
  await page.locator(".other summary").click()
  await page.locator(".other select").first().selectOption("output")
  await page.locator(".other .sheet input").fill("1,234")
  await page.locator(".other .sheet button").click()
  await look("an answer that can be read in two ways")
  await page.locator(".other .sheet input").fill("much")
  await page.locator(".other .sheet button").click()
  await look("an answer that is none")
  await page.locator(".other select").first().selectOption("damp")
  await page.locator(".other .pick input").first().check()
  await look("a question")
  await page.locator(".other .sheet button").click()
  await look("its answer in the log")
  await page.locator(".other > .field select").nth(1).selectOption({ index: 2 })
  await look("another step than the planned one")
  await page.locator(".step > .row button").first().click()
  for (const [i] of SHEET_KINDS.entries()) {
    await button(".sheets", i).click()
    await page.locator("iframe").waitFor()
    await look(`sheet ${i}`)
  }
  await page.locator(".owner input").fill("10")
  await page.locator(".owner input").blur()
  await page.locator(".owner .warned").waitFor()
  await look("the owner's limit")
  await page.locator(".step .choices button").first().click()
  await page.locator("[slot=more] button, .card.row button").first().click()
  await look("a part that is in, and a wait")
  for (let i = 0; i < 6 && (await page.locator(".step.handover").count()) === 0; i++) {
    if ((await page.locator(".proofs").count()) > 0) {
      await look("proof run")
      await page.locator(".proofs > .row button").last().click()
    } else if ((await page.locator(".step .choices").count()) > 0)
      await page.locator(".step .choices button").last().click()
    else await page.locator(".step button.main").first().click()
    await look(`step ${i}`)
  }
  await page.locator(".step.handover button").last().click()
  await look("the end")
  await page.locator(".closing button").click()
  await look("recorded")
  await button(".job-tools", 1).click()
  await page.locator(".step .choices button").first().click()
  await button(".job-tools").click()
  await page.locator(".job-list").waitFor()
  await look("the list of jobs")
  await page.locator(".job button").last().click()
  await look("thrown away")
}

test("in a language that is made up, all that is said is of a catalogue or of the ruleset", async () => {
  const { page, graph } = await madeUp("en-XA", pseudoTexts)
  // What was typed, and what the browser says of dates and in lists.
  const texts = stringsIn(graph).filter((text) => !/^(yes|no)$/i.test(text))
  const known = [...texts, "EUR", "A4", "much", " and ", "AM", "PM", ...MONTHS]
  const stray = new Set<string>()
  await goAbout(page, async (stop) => {
    for (const text of await said(page))
      for (const word of strayWords(text, known)) stray.add(`${stop}: ${word} in ${text}`)
  })
  expect([...stray]).toEqual([])
  expect(await page.locator("html").getAttribute("lang")).toBe("en-XA")
})

test("from right to left nothing runs over the edge of a phone or a tablet", async () => {
  const { page } = await madeUp("ar-XB", rightToLeftTexts)
  expect(await page.evaluate(() => getComputedStyle(document.body).direction)).toBe("rtl")
  await goAbout(page, async (stop) => {
    for (const width of [360, 1024]) {
      await page.setViewportSize({ width, height: 740 })
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
      expect({ stop, width, over: Math.max(0, over) }).toEqual({ stop, width, over: 0 })
    }
  })
  expect(await faults(page)).toEqual([])
})
