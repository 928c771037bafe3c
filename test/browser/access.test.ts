import type { Page } from "playwright-core"
import { expect, test } from "vitest"
import { faults } from "./support/axe.ts"
import { cases80, LAMP } from "./support/lamp.ts"
import { begin, dropCases, focusEditor, playground, shared, soon, station } from "./support/page.ts"

const visit = playground()
const wide = (page: Page) => page.evaluate(() => document.documentElement.scrollWidth - innerWidth)

const screens = [
  { width: 1440, height: 900, colorScheme: "light" },
  { width: 360, height: 740, colorScheme: "dark" },
] as const

test.each(screens)(
  "axe finds nothing at $width px in $colorScheme",
  async ({ width, height, colorScheme }) => {
    const { page } = await visit({ viewport: { width, height }, colorScheme })
    await page.locator(".welcome").waitFor()
    expect(await faults(page)).toEqual([])
    await begin(page, LAMP)
    expect(await faults(page)).toEqual([])
    await station(page, "Graph")
    await page.locator(".canvas .node").first().waitFor()
    expect(await faults(page)).toEqual([])
    await station(page, "Bench")
    await page.getByRole("button", { name: /^Gone/ }).click()
    await page.getByText("More than one explanation.").waitFor()
    expect(await faults(page)).toEqual([])
    await page.getByRole("button", { name: /^Gone/ }).click()
    await page.getByText("Before it goes back").waitFor()
    expect(await faults(page)).toEqual([])
    await station(page, "Cases")
    await dropCases(page, cases80())
    await page.locator(".plot svg").first().waitFor()
    expect(await faults(page)).toEqual([])
    await station(page, "Ship")
    await page.getByText("Share by link").waitFor()
    expect(await faults(page)).toEqual([])
  },
)

test("no view is wider than the screen, from 360 px to 4k", async () => {
  const { page } = await visit({ at: await shared(LAMP) })
  await page.locator(".instruction").waitFor()
  for (const width of [360, 768, 1440, 3840]) {
    await page.setViewportSize({ width, height: Math.round(width * 0.6) + 200 })
    for (const name of ["Graph", "Bench", "Cases", "Ship"] as const) {
      await station(page, name)
      await page.waitForTimeout(60)
      expect(await wide(page), `${name} at ${width}`).toBeLessThanOrEqual(0)
    }
  }
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
  await page.keyboard.press("ControlOrMeta+f")
  await page.keyboard.type("test try_head")
  await page.keyboard.press("Enter")
  await page.keyboard.press("Escape")
  await page.locator(".canvas .node.lit").first().waitFor()
  await page.locator(".outcomes button").first().click()
  await page.locator(".source-lines button").first().click()
  await soon(() => page.locator(".monaco-editor .selected-text").count()).toBeGreaterThan(0)
})
