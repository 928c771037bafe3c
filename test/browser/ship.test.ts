import { readFileSync } from "node:fs"
import { mkdtemp, rm, writeFile } from "node:fs/promises"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import type { Locator, Page } from "playwright-core"
import decodeQR from "qr/decode.js"
import { expect, inject, onTestFinished, test } from "vitest"
import { compile, graphText } from "../../compiler/compile.ts"
import { open, type Recorded, reopen } from "../../compiler/run/index.ts"
import { targets, verify } from "../../compiler/ship/index.ts"
import { toFragment } from "../../playground/share/share.ts"
import { SVG } from "../support/pictures.ts"
import { faults } from "./support/axe.ts"
import { LAMP } from "./support/lamp.ts"
import {
  areCautionsSeen,
  downloaded,
  focused,
  kept,
  keptFiles,
  openShared,
  playground,
  shared,
  soon,
  station,
  watch,
} from "./support/page.ts"

const visit = playground()
const root = join(import.meta.dirname, "../..")

/** The page that ships from here, as a file: its address, which is good until the test is over. */
async function savedPage(page: Page): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "ruleout-"))
  onTestFinished(() => rm(folder, { recursive: true }))
  const file = join(folder, "page.html")
  await writeFile(file, await downloaded(page, "Page"))
  return pathToFileURL(file).href
}

test("the page that ships runs from the file system without a network, and keeps its job", async () => {
  const { page, context } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  const address = await savedPage(page)

  await context.setOffline(true)
  const alone = await context.newPage()
  watch(alone)
  const asked: string[] = []
  alone.on("request", (request) => asked.push(request.url()))
  await alone.goto(address)
  // Its own style is there, of the page and of the bench in it: the policy names the one.
  expect(await alone.locator(".page-head").evaluate((head) => getComputedStyle(head).display)).toBe("flex")
  expect(await alone.locator(".step").evaluate((step) => getComputedStyle(step).borderTopWidth)).toBe("5px")
  // On a phone every step opens with its cautions on the screen.
  await alone.setViewportSize({ width: 360, height: 740 })
  expect(await areCautionsSeen(alone)).toBe(true)
  await alone.evaluate(() => scrollTo(0, document.body.scrollHeight))
  await alone.getByRole("button", { name: /^Gone/ }).click()
  expect(await alone.locator(".instruction").textContent()).toBe("Put the old part back: lamp head")
  expect(await areCautionsSeen(alone)).toBe(true)
  await alone.getByRole("button", { name: /^Stays/ }).click()
  expect(await alone.locator(".instruction").textContent()).toBe("Replace: lamp head")
  await alone.getByRole("button", { name: /^Gone/ }).click()
  for (let i = 0; i < 3; i++) await alone.getByRole("button", { name: /^Passed once more/ }).click()
  await alone.reload()
  await alone.getByText("3 of 3").waitFor()
  await alone.getByRole("button", { name: /close the job$/i }).click()
  await alone.getByRole("button", { name: "Record the job" }).click()
  await alone.reload()
  await alone.getByRole("button", { name: "Save 1 record" }).waitFor()
  expect(await alone.locator(".log li").count()).toBe(4)
  expect(asked.filter((url) => !url.startsWith("file:") && !url.startsWith("blob:"))).toEqual([])
})

test("words of a stranger stay words: in the playground, and in the page that ships", async () => {
  const evil = `</script><img src=x onerror=\\"document.title='owned'\\"><!--`
  const text = LAMP.replaceAll('"lamp head"', `"${evil}"`).replace(
    '"no light when it is switched on"',
    `"${evil}"`,
  )
  const { page, context } = await visit({ at: await shared(text) })
  await page.locator(".instruction").waitFor()
  expect(await page.locator("img").count()).toBe(0)
  expect(await page.locator(".complaint").textContent()).toContain("</script><img src=x")
  await station(page, "Ship")
  const address = await savedPage(page)
  const alone = await context.newPage()
  watch(alone)
  await alone.goto(address)
  await alone.locator(".instruction").waitFor()
  expect(await alone.locator("img").count()).toBe(0)
  expect(await alone.locator(".complaint").textContent()).toContain("</script><img src=x")
  expect(await alone.title()).not.toBe("owned")
})

test("the graph that ships opens in the runner and is the same bytes each time; its picture has every node", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  const texts: string[] = []
  for (let i = 0; i < 2; i++) {
    texts.push(await downloaded(page, "Graph"))
  }
  expect(texts[1]).toBe(texts[0])
  // The command line writes the same.
  expect(texts[0]).toBe(graphText(compile("shared.ruleout", () => LAMP).graph!))
  const session = open(JSON.parse(texts[0]!))
  expect("act" in session.next && session.next.act).toEqual({ test: "try_head" })

  // Every format is looked at before it is saved, and is what the command line writes.
  const graph = compile("shared.ruleout", () => LAMP).graph!
  const part = (name: string) => readFileSync(join(root, "dist/parts", name), "utf8")
  for (const { title, files } of Object.values(targets)) {
    await page.getByRole("combobox", { name: /^Format/ }).selectOption({ label: title })
    const text = files[0].write(graph, { part })
    const preview = page.getByRole("region", { name: `Preview: ${title}` })
    await soon(() => preview.textContent()).toContain(text.slice(0, 200))
    expect(await downloaded(page, `Save work_light${files[0].ending}`)).toBe(text)
  }

  await station(page, "Graph")
  await page.locator(".canvas .node").first().waitFor()
  const count = Number(/^(\d+) of/.exec((await page.locator(".graph-count").textContent())!)![1])
  const svg = await downloaded(page, "Save SVG")
  expect(svg.match(/data-node=/g)).toHaveLength(count)
  expect(svg).toContain("Fit the known-good lamp h")
  expect(svg).toContain("<style")
})

test("what is shipped is signed with a key that its owner keeps, and nobody else's", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  const input = page.getByLabel("Private key")
  await input.setInputFiles({ name: "no.key", mimeType: "text/plain", buffer: Buffer.from("hello") })
  await page.getByText("This isn't a private").waitFor()
  const pem = await downloaded(page, "Make a new key")
  await page.getByText("What you save from here on is signed").waitFor()
  const key = await downloaded(page, "Save the public key")
  const check = async (text: string) =>
    (await verify(JSON.parse(text), { subtle: crypto.subtle, key })).signed
  expect(await check(await downloaded(page, "Graph"))).toBe(true)
  // The file is all that is left of it after a reload.
  await page.reload()
  expect(JSON.parse(await downloaded(page, "Graph"))).not.toHaveProperty("seal")
  await input.setInputFiles({ name: "ruleout.key", mimeType: "text/plain", buffer: Buffer.from(pem) })
  await page.getByText("What you save from here on is signed").waitFor()
  expect(await check(await downloaded(page, "Graph"))).toBe(true)
})

/** What a camera in front of the screen sees of a picture in black and white. */
async function pixels(picture: Locator): Promise<{ width: number; height: number; data: Uint8Array }> {
  const side = 500
  const red = await picture.evaluate(async (svg, side) => {
    const image = new Image(side, side)
    image.src = `data:image/svg+xml,${encodeURIComponent(new XMLSerializer().serializeToString(svg))}`
    await image.decode()
    const canvas = new OffscreenCanvas(side, side).getContext("2d")!
    canvas.drawImage(image, 0, 0, side, side)
    const { data } = canvas.getImageData(0, 0, side, side)
    let text = ""
    for (let i = 0; i < data.length; i += 4) text += String.fromCharCode(data[i]!)
    return btoa(text)
  }, side)
  const data = Uint8Array.from([...Buffer.from(red, "base64")].flatMap((shade) => [shade, shade, shade, 255]))
  return { width: side, height: side, data }
}

test("a shared link brings the whole ruleset, and what was there before can be had back", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  await station(page, "Ship")
  await page.getByRole("button", { name: "Make a link" }).click()
  const link = await page.getByRole("textbox", { name: "Link" }).inputValue()
  expect(link.startsWith(`${inject("playground")}#r1.`)).toBe(true)
  expect(decodeQR(await pixels(page.getByRole("img", { name: "QR code" })))).toBe(link)
  const other = await visit({ at: link.slice(inject("playground").length) })
  await other.page.locator(".instruction").waitFor()
  await soon(() => keptFiles(other.page)).toEqual({ "shared.ruleout": LAMP })

  await other.page.goto(`${inject("playground")}#r1.damaged`)
  await other.page.reload()
  await other.page.getByText("The link is damaged").waitFor()
  await soon(() => keptFiles(other.page)).toEqual({ "shared.ruleout": LAMP })
  await station(other.page, "Ship")
})

test("pictures are added, shown with their words, enlarged by keys, kept, and carried by the page that ships", async () => {
  const text = LAMP.replace(
    "swaps head takes",
    'swaps head picture "images/the probe.svg" "the two clips of the head" takes',
  )
  const at = `#${await toFragment({ root: "shared.ruleout", files: { "shared.ruleout": text }, lacksPictures: true })}`
  const { page, context } = await visit({ at })
  await page.locator(".instruction").waitFor()
  await page.getByText("It came without its pictures: a link can't hold them.").waitFor()

  await station(page, "Write")
  const svg = { name: "the probe.svg", mimeType: "image/svg+xml", buffer: Buffer.from(SVG) }
  await page.getByLabel("Add picture…").setInputFiles(svg)
  await page.getByText("Added images/the probe.svg.").waitFor()
  await page.getByText("Pictures (1)").waitFor()
  await kept(page)
  await station(page, "Bench")
  await enlarged(page)
  expect(await faults(page)).toEqual([])
  await page.reload()
  await enlarged(page)

  await station(page, "Ship")
  await page.getByText("The link contains the ruleset without its pictures").waitFor()
  const address = await savedPage(page)
  await openShared(page, LAMP.replace('work_light "Work light', 'lantern "Lantern'))
  await page.getByRole("button", { name: "New job on Work light: no light" }).click()
  await enlarged(page)
  const alone = await context.newPage()
  watch(alone)
  await alone.goto(address)
  await enlarged(alone)

  const shop = await context.newPage()
  watch(shop)
  const readPicture = () => new TextEncoder().encode(SVG)
  const { graph, model } = compile("shared.ruleout", () => text, { readPicture })
  const [picture] = model!.pictures!
  const drawing = new TextDecoder().decode(picture!.bytes)
  await embedded(shop, graphText(graph!))
  await shop.evaluate(
    ([digest, address]) => {
      document.querySelector("ruleout-bench")!.pictures = { [digest]: address }
    },
    [picture!.digest, `data:image/svg+xml;base64,${btoa(drawing)}`] as const,
  )
  await enlarged(shop)
})

/** The picture of the step is drawn, opens large by keys, and closes again with the focus back. */
async function enlarged(page: Page): Promise<void> {
  const button = page.getByRole("button", { name: "Enlarge: the two clips of the head" })
  await button.waitFor()
  await soon(() =>
    button.locator("img").evaluate((img) => (img as HTMLImageElement).naturalWidth),
  ).toBeGreaterThan(0)
  await button.focus()
  await page.keyboard.press("Enter")
  const dialog = page.getByRole("dialog", { name: "the two clips of the head" })
  await dialog.getByRole("img", { name: "the two clips of the head" }).waitFor()
  await page.keyboard.press("Escape")
  await dialog.waitFor({ state: "hidden" })
  await soon(() => focused(page)).toMatchObject({ label: "Enlarge: the two clips of the head" })
}

/** The page that the README shows, with this graph. */
async function embedded(page: Page, graph: string): Promise<void> {
  const html = /```html\n([\s\S]*?)```/.exec(readFileSync(join(root, "README.md"), "utf8"))![1]!
  const files: Record<string, string> = {
    "/": html,
    "/ruleout-bench.js": readFileSync(join(root, "dist/bench/ruleout-bench.js"), "utf8"),
    "/de.js": readFileSync(join(root, "dist/bench/de.js"), "utf8"),
    "/kiosk_dark.graph.json": graph,
  }
  await page.route("https://shop.example/**", (route) => {
    const path = new URL(route.request().url()).pathname
    const contentType =
      path === "/" ? "text/html" : path.endsWith(".js") ? "text/javascript" : "application/json"
    return route.fulfill(path in files ? { contentType, body: files[path]! } : { status: 204 })
  })
  await page.goto("https://shop.example/")
}

test("the bench is an element of a page that is somebody else's, which hears each step and the record", async () => {
  const { context } = await visit()
  const page = await context.newPage()
  watch(page)
  const told: string[] = []
  page.on("console", (message) => told.push(message.text()))
  const graph = compile("shared.ruleout", () => LAMP).graph!
  await embedded(page, graphText(graph))
  const instruction = page.locator(".instruction")
  await instruction.waitFor()
  // Its look is the page's to set, and the rest of the page is left alone.
  const colour = await page.locator(".step").evaluate((step) => getComputedStyle(step).borderTopColor)
  expect(colour).toBe("rgb(122, 31, 92)")
  const margin = await page.locator("h1").evaluate((heading) => getComputedStyle(heading).marginTop)
  expect(margin).not.toBe("0px")
  expect(await faults(page)).toEqual([])
  await page.setViewportSize({ width: 360, height: 740 })
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
  expect(await faults(page)).toEqual([])

  // By keys, as on the page; what was kept goes on after a reload.
  await page.getByRole("button", { name: /^Gone/ }).focus()
  await page.keyboard.press("Enter")
  await soon(() => focused(page)).toMatchObject({ id: "step-title" })
  const now = await instruction.textContent()
  expect(now).toBe("Put the old part back: lamp head")
  await page.reload()
  await soon(() => instruction.textContent()).toBe(now)
  await page.getByRole("button", { name: /^Stays/ }).click()
  await page.getByRole("button", { name: /^Gone/ }).click()
  for (let i = 0; i < 3; i++) await page.getByRole("button", { name: /^Passed once more/ }).click()
  await page.getByRole("button", { name: /close the job$/i }).click()
  await page.getByRole("button", { name: "Record the job" }).click()
  await soon(() => told.length).toBe(1)
  const record = JSON.parse(told[0]!) as Recorded
  expect(record).toMatchObject({ complaint: "dark", faults: ["head_dead"], confirmed: "proof" })
  const session = reopen(graph, record)
  expect(session.next).toMatchObject({ do: "end", closed: true })
})

const GERMAN = `texts de
  says work_light "Work light: no light" as "Arbeitsleuchte: kein Licht"
  says dark "no light when it is switched on" as "nach dem Einschalten kein Licht"
  says head "lamp head" as "Leuchtenkopf"
  says try_head "Fit the known-good lamp head" as "Geprüften Leuchtenkopf einbauen"
`

test("the element shows the language of its nearest lang, and a job goes on in another", async () => {
  const { context } = await visit()
  const page = await context.newPage()
  watch(page)
  const files = new Map([
    ["lamp.ruleout", LAMP],
    ["lamp.de.ruleout", GERMAN],
  ])
  const { graph } = compile("lamp.ruleout", (path) => files.get(path), { texts: ["lamp.de.ruleout"] })
  await embedded(page, graphText(graph!))
  const instruction = page.locator(".instruction")
  await soon(() => instruction.textContent()).toBe("Fit the known-good lamp head")
  await page.getByRole("button", { name: /^Gone/ }).click()
  const steps = () => page.evaluate(() => document.querySelector("ruleout-bench")!.session!.log.length)
  const speak = (lang: string) =>
    page.evaluate((tag) => {
      document.querySelector("ruleout-bench")!.lang = tag
    }, lang)
  await speak("de-AT")
  await soon(() => instruction.textContent()).toContain("Leuchtenkopf")
  expect(await page.locator(".complaint").textContent()).toContain("nach dem Einschalten kein Licht")
  expect(await page.locator(".log").textContent()).toContain("Geprüften Leuchtenkopf einbauen")
  expect(await steps()).toBe(1)
  // The bench's own words too, once they are there.
  const taking = `import de from "/de.js"; document.querySelector("ruleout-bench").texts = { de }`
  await page.addScriptTag({ type: "module", content: taking })
  await soon(() => instruction.textContent()).toBe("Altes Teil wieder einbauen: Leuchtenkopf")
  expect(await page.getByRole("heading", { name: "Getan und gefunden" }).count()).toBe(1)
  await page.getByRole("button", { name: "Bleibt" }).click()
  await speak("en")
  await soon(() => instruction.textContent()).toBe("Replace: lamp head")
  expect(await steps()).toBe(2)
})

test("files of translations are known in the playground; the language is chosen there and in the page, and stays", async () => {
  const files = { "lamp.ruleout": LAMP, "lamp.de.ruleout": GERMAN }
  const { page, context } = await visit({ at: `#${await toFragment({ root: "lamp.ruleout", files })}` })
  const chosen = async (bench: Page) => {
    await bench.getByRole("button", { name: /^Gone/ }).click()
    await bench.getByLabel("Language").selectOption({ label: "Deutsch" })
    const put = "Altes Teil wieder einbauen: Leuchtenkopf"
    await soon(() => bench.locator(".instruction").textContent()).toBe(put)
    expect(await bench.locator(".log li").count()).toBe(1)
    expect(await faults(bench)).toEqual([])
    await bench.reload()
    await soon(() => bench.locator(".instruction").textContent()).toBe(put)
    expect(await bench.locator(".log li").count()).toBe(1)
  }
  await page.locator(".instruction").waitFor()
  await kept(page)
  await chosen(page)
  await station(page, "Ship")
  const address = await savedPage(page)
  const alone = await context.newPage()
  watch(alone)
  await alone.goto(address)
  await chosen(alone)
  expect(await alone.locator("h1").textContent()).toBe("Arbeitsleuchte: kein Licht")
})

test("the element says why it has no job: of a graph of another format, or of none", async () => {
  const { context } = await visit()
  const page = await context.newPage()
  await embedded(page, '{"format":"ruleout-graph/1"}')
  await page.getByRole("alert").getByText("compile it again").waitFor()
  const message = await page.evaluate(
    () =>
      new Promise<string>((heard) => {
        const bench = document.querySelector("ruleout-bench")!
        bench.addEventListener("ruleout-problem", ({ detail }) => heard(detail.message))
        bench.src = "nothing.graph.json"
      }),
  )
  expect(message).toContain("The graph couldn't be loaded")
})

test("after one visit the playground can be installed, and works without a network", async () => {
  const { page, context } = await visit({ at: await shared(LAMP), serviceWorkers: "allow" })
  await page.locator(".instruction").waitFor()
  // The page itself asks for the worker, a few seconds after all is there.
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => {}))
  await soon(() => page.evaluate(() => navigator.serviceWorker.controller?.state)).toBe("activated")
  // It can be installed: the browser itself finds nothing missing.
  const browser = await context.newCDPSession(page)
  expect((await browser.send("Page.getAppManifest")).errors).toEqual([])
  const { installabilityErrors } = await browser.send("Page.getInstallabilityErrors")
  // Contexts of tests leave nothing behind, and nothing is installed in such.
  expect(installabilityErrors.map(({ errorId }) => errorId)).toEqual(["in-incognito"])
  await context.setOffline(true)
  await page.reload()
  await page.locator(".instruction").waitFor()
  await station(page, "Write")
  await page.locator(".monaco-editor .view-line").first().waitFor()
  await page.getByRole("link", { name: "Help" }).click()
  await page.getByRole("heading", { name: "Handbook", level: 1 }).waitFor()
})
