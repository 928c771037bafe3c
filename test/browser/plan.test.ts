import { expect, inject, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { LAMP } from "./support/lamp.ts"
import { focusEditor, keptFiles, playground, shared, soon, station } from "./support/page.ts"

const visit = playground()

test("a long search shows how it goes, is stopped by its button, and the page stays of use all the while", async () => {
  const { page } = await visit({ at: await shared(KIOSK_DARK) })
  await page.getByText("Opened the shared ruleset.").waitFor()
  await station(page, "Write")
  const card = page.locator(".plan-card")
  const stop = card.getByRole("button", { name: "Good enough: stop" })
  await stop.waitFor()
  const states = async () =>
    Number(/([\d,]+) states/.exec((await card.textContent())!)![1]!.replaceAll(",", ""))
  const before = await states()
  await soon(states).toBeGreaterThan(before)
  expect(await card.locator("progress").getAttribute("value")).toMatch(/^0\.\d+$/)
  expect(await page.locator(".problems h2").textContent()).not.toBe("Problems 0")

  // In Ship nothing leaves before the search is over; there too it can be ended.
  await station(page, "Ship")
  await page.getByText("Planning isn't finished").waitFor()
  expect(await page.getByRole("button", { name: "Graph", exact: true }).isDisabled()).toBe(true)
  await page.getByRole("button", { name: "Good enough: stop" }).click()
  await soon(() => page.getByRole("button", { name: "Graph", exact: true }).isDisabled()).toBe(false)
  await station(page, "Write")
  await card.getByText("You stopped the search").waitFor()
  await card.getByText("A job costs", { exact: true }).waitFor()
  await station(page, "Bench")
  await page.locator(".instruction").waitFor()
  await station(page, "Write")
  await card.getByRole("button", { name: "Search again" }).click()
  await stop.waitFor()
  await focusEditor(page)
  await page.keyboard.press("ControlOrMeta+Home")
  await page.keyboard.type("# typed while planning continues\n")
  await soon(async () => Object.values(await keptFiles(page))[0]).toMatch(
    /^# typed while planning continues\n/,
  )
})

test("a plan of more nodes than can be drawn is said so, with what to do", async () => {
  const { page, context } = await visit()
  // As many nodes take minutes to plan; the limit is put low instead.
  await context.route(/plan\.worker-.*\.js$/, async (route) => {
    const body = await (await route.fetch()).text()
    const lowered = body.replaceAll(/>2e4(?=[)?])/g, ">4")
    expect(body.length - lowered.length).toBe(4)
    await route.fulfill({ body: lowered, contentType: "text/javascript" })
  })
  await page.goto("about:blank")
  await page.goto(`${inject("playground")}${await shared(LAMP)}`)
  await page.getByText("Opened the shared ruleset.").waitFor()
  const nodes = compile("shared.ruleout", () => LAMP).graph!.nodes.length
  const said = `The plan has ${nodes} nodes, but this page can draw only 20,000.`
  for (const name of ["Write", "Graph", "Bench", "Ship"] as const) {
    await station(page, name)
    await page.getByText(said).waitFor()
  }
  await page.getByText("ruleout compile shared.ruleout").waitFor()
})
