import { readFileSync } from "node:fs"
import { createRequire } from "node:module"
import type { Page } from "playwright-core"

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8")

type Axe = {
  run(
    root: Document,
    options: object,
  ): Promise<{ violations: { id: string; nodes: { target: unknown; failureSummary?: string }[] }[] }>
}

const EVERYTHING = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

/** What axe finds on the page as it stands, as short lines. */
export async function faults(page: Page, only: readonly string[] = EVERYTHING): Promise<string[]> {
  // Put in as the browser's own code, past the page's policy.
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(axe)
  return page.evaluate(async (runOnly) => {
    const { violations } = await (globalThis as unknown as { axe: Axe }).axe.run(document, {
      // Of colours that the system chose itself, axe sees those that they took the place of.
      rules: { "color-contrast": { enabled: !matchMedia("(forced-colors: active)").matches } },
      runOnly,
    })
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${node.target} ${node.failureSummary}`),
    )
  }, only)
}

/** The same in light, in dark and in colours of the system's choice; between light and dark only contrasts differ. */
export async function faultsInAllColours(page: Page): Promise<string[]> {
  await paintedWith(page, { colorScheme: "light", forcedColors: "none" })
  const light = await faults(page)
  await paintedWith(page, { colorScheme: "dark" })
  const dark = await faults(page, ["color-contrast"])
  await paintedWith(page, { forcedColors: "active" })
  const forced = await faults(page)
  return [...light, ...dark.map((each) => `dark: ${each}`), ...forced.map((each) => `forced: ${each}`)]
}

/** The page hears of a change of colours with the next frame, and the editor takes them with the one after it. */
async function paintedWith(page: Page, media: Parameters<Page["emulateMedia"]>[0]): Promise<void> {
  await page.emulateMedia(media)
  await page.evaluate(
    () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)))),
  )
}
