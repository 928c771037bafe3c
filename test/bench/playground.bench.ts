import { readFileSync } from "node:fs"
import { join } from "node:path"
import { gzipSync } from "node:zlib"
import { type BrowserContext, chromium as engine, type Page } from "playwright-core"
import { build, type PreviewServer, preview } from "vite"
import { bundleRunner } from "../../playground/build/bundle-runner.ts"
import { toFragment } from "../../playground/share/share.ts"
import { chromium, chromiumFlags } from "../support/chromium.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { largeRuleset } from "../support/large.ts"
import { onSlowPhone } from "./slow-phone.ts"
import { ms, times } from "./time.ts"

export const title = "The playground: typing in 3,000 lines, 1,500 nodes drawn, and what is loaded"

const root = join(import.meta.dirname, "../..")
const configFile = join(root, "vite.config.ts")
const pages = join(import.meta.dirname, "pages")

export async function run(line: (text: string) => void): Promise<void> {
  await build({ configFile, logLevel: "error" })
  const jsx = { jsx: { runtime: "automatic", importSource: "preact" } } as const
  const own = {
    configFile: false,
    root: pages,
    base: "./",
    logLevel: "error",
    oxc: jsx,
    worker: { format: "es" },
  } as const
  const outDir = join(root, "dist/bench-pages")
  const input = ["json.html", "graph.html"].map((name) => join(pages, name))
  await build({ ...own, build: { outDir, emptyOutDir: true, target: "es2022", rolldownOptions: { input } } })
  const at = { host: "127.0.0.1", port: 0 }
  const servers = [
    await preview({ configFile, logLevel: "error", preview: at }),
    await preview({ ...own, build: { outDir }, preview: at }),
  ] as const
  const browser = await engine.launch({ executablePath: chromium(), args: chromiumFlags })
  try {
    const visit = async () => {
      const context = await browser.newContext({
        viewport: { width: 1440, height: 900 },
        serviceWorkers: "block",
      })
      // The loader of this file wraps named functions in `__name`, those that go into the page too.
      await context.addInitScript("globalThis.__name = (named) => named")
      return context
    }
    await typing(await visit(), servers, line)
    await drawing(await visit(), servers[1], line)
    await loading(visit, servers[0], line)
    const kiosk = await toFragment({ root: "kiosk.ruleout", files: { "kiosk.ruleout": KIOSK_DARK } })
    const folder = join(root, "dist/playground")
    const bench = await onSlowPhone(browser, folder, `#${kiosk}`, ".instruction")
    const welcome = await onSlowPhone(browser, folder, "", ".welcome")
    line(
      `first visit on a slow phone: the bench from a link usable in ${ms(bench)} (goal 3 s), the welcome page in ${ms(welcome)} (goal 2 s)`,
    )
  } finally {
    await browser.close()
    for (const server of servers) await server.close()
  }
}

const address = (server: PreviewServer) => server.resolvedUrls!.local[0]!

/** From a key that breaks the text to the first red line under it, and the longest task meanwhile; medians of nine. */
async function typing(
  context: BrowserContext,
  [ours, theirs]: readonly [PreviewServer, PreviewServer],
  line: (text: string) => void,
): Promise<void> {
  const ruleset = largeRuleset(3000)
  const page = await context.newPage()
  await page.goto(
    `${address(ours)}#${await toFragment({ root: "large.ruleout", files: { "large.ruleout": ruleset } })}`,
  )
  await page.getByText("Opened the shared ruleset.").waitFor()
  await page.getByRole("link", { name: /^Write/ }).click()
  await page.locator(".monaco-editor .view-line").first().waitFor()
  await page.waitForTimeout(3000)
  const mine = await measure(page, "}")
  line(
    `${ruleset.split("\n").length} lines of ours: key to finding ${ms(mine.finding)}, longest task ${ms(mine.longest)} while ${mine.keys} keys were typed`,
  )

  const lines = `[\n${Array.from({ length: 2998 }, (_, i) => `{"name": "part_${i}", "label": "part number ${i}", "price": ${i}}`).join(",\n")}\n]`
  const other = await context.newPage()
  await other.goto(`${address(theirs)}json.html`)
  await other.waitForFunction(() => "put" in globalThis)
  await other.evaluate((text) => (globalThis as unknown as { put(text: string): void }).put(text), lines)
  await other.waitForTimeout(3000)
  const builtin = await measure(other, "}")
  line(
    `${lines.split("\n").length} lines of JSON in the same editor: key to finding ${ms(builtin.finding)}, longest task ${ms(builtin.longest)}; ours takes ${times(mine.finding, builtin.finding)} that (goal 1.5; theirs waits half a second first)`,
  )
}

interface Typed {
  readonly finding: number
  readonly longest: number
  readonly keys: number
}

async function measure(page: Page, wrong: string): Promise<Typed> {
  await page.locator(".monaco-editor .view-lines").first().click()
  await page.keyboard.press("ControlOrMeta+Home")
  await page.keyboard.press("End")
  await page.evaluate(() => {
    const seen = { longest: 0, key: 0, found: [] as number[] }
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) seen.longest = Math.max(seen.longest, entry.duration)
    }).observe({ type: "longtask" })
    addEventListener(
      "keydown",
      () => {
        seen.key = performance.now()
      },
      true,
    )
    const marks = () => document.querySelectorAll(".squiggly-error").length
    let before = marks()
    new MutationObserver(() => {
      const now = marks()
      if (now > before && seen.key > 0) {
        seen.found.push(performance.now() - seen.key)
        seen.key = 0
      }
      before = now
    }).observe(document.body, { subtree: true, childList: true })
    Object.assign(globalThis, { seen })
  })
  const rounds = 9
  for (let i = 0; i < rounds; i++) {
    await page.keyboard.type(wrong)
    await page.waitForFunction(
      (n) => (globalThis as unknown as { seen: { found: number[] } }).seen.found.length > n,
      i,
    )
    await page.keyboard.press("Backspace")
    await page.waitForFunction(() => document.querySelectorAll(".squiggly-error").length === 0)
  }
  // Fast typing, as of somebody who knows what to write.
  await page.keyboard.press("Enter")
  const words =
    '# a few words more, written fast while everything else goes on\npart extra_part "an extra part" price 12'
  await page.keyboard.type(words, { delay: 35 })
  await page.waitForTimeout(1500)
  const seen = await page.evaluate(
    () => (globalThis as unknown as { seen: { longest: number; found: number[] } }).seen,
  )
  const found = seen.found.slice(0, rounds).sort((a, b) => a - b)
  return {
    finding: found[Math.floor(found.length / 2)]!,
    longest: seen.longest,
    keys: words.length + 2 * rounds,
  }
}

/** Frames a second while the picture of 1,500 nodes is dragged about, near and from afar. */
async function drawing(
  context: BrowserContext,
  server: PreviewServer,
  line: (text: string) => void,
): Promise<void> {
  const page = await context.newPage()
  await page.goto(`${address(server)}graph.html`)
  await page.waitForFunction(() => "draw" in globalThis)
  const { laidOut, drawn } = await page.evaluate(() =>
    (globalThis as unknown as { draw(size: number): Promise<{ laidOut: number; drawn: number }> }).draw(1500),
  )
  line(`1,500 nodes: laid out in the worker in ${ms(laidOut)}, drawn in ${ms(drawn)}`)
  const drag = async () => {
    await page.evaluate(() => {
      const times: number[] = []
      const next = (now: number) => {
        times.push(now)
        requestAnimationFrame(next)
      }
      requestAnimationFrame(next)
      Object.assign(globalThis, { times })
    })
    await page.mouse.move(900, 450)
    await page.mouse.down()
    for (let i = 0; i < 60; i++) await page.mouse.move(900 - 9 * i, 450 + Math.round(120 * Math.sin(i / 6)))
    await page.mouse.up()
    return page.evaluate(() => {
      const { times } = globalThis as unknown as { times: number[] }
      const gaps = times.slice(1).map((now, i) => now - times[i]!)
      return { worst: Math.max(...gaps), mean: gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length }
    })
  }
  const near = await drag()
  await page.getByRole("application").focus()
  await page.keyboard.press("0")
  await page.waitForTimeout(400)
  const far = await drag()
  line(
    `dragged near: ${(1000 / near.mean).toFixed(0)} frames a second, worst gap ${ms(near.worst)}; all 1,500 in view: ${(1000 / far.mean).toFixed(0)} frames a second, worst gap ${ms(far.worst)} (without a graphics card)`,
  )
}

/** Gzip of everything that a fresh page asks for until it can be used. */
async function loading(
  visit: () => Promise<BrowserContext>,
  server: PreviewServer,
  line: (text: string) => void,
): Promise<void> {
  const folder = join(root, "dist/playground")
  const weigh = async (hash: string, ready: string) => {
    const context = await visit()
    const files = new Set<string>()
    context.on("request", (request) => files.add(new URL(request.url()).pathname))
    const page = await context.newPage()
    await page.goto(address(server) + hash)
    if (ready === ".monaco-editor .view-line") await page.getByRole("button", { name: "Start empty" }).click()
    await page.locator(ready).first().waitFor()
    await page.waitForTimeout(1500)
    await context.close()
    const sizes = [...files].map(
      (path) => gzipSync(readFileSync(join(folder, path === "/" ? "index.html" : path))).length,
    )
    return sizes.reduce((sum, size) => sum + size, 0) / 1024
  }
  const kiosk = await toFragment({ root: "kiosk.ruleout", files: { "kiosk.ruleout": KIOSK_DARK } })
  const bench = await weigh(`#${kiosk}`, ".instruction")
  const whole = await weigh("", ".monaco-editor .view-line")
  line(
    `gzip until usable: a shared link at the bench ${bench.toFixed(0)} kB, the editor ${whole.toFixed(0)} kB (goal 1,229)`,
  )

  const code = await bundleRunner("compiler/run/index.ts", "es")
  line(
    `the runner alone: ${gzipSync(code, { level: 9 }).length.toLocaleString("en")} bytes gzip (goal at most 12,000)`,
  )
}
