import type { Page } from "playwright-core"
import { expect, inject, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open, type Session } from "../../compiler/run/index.ts"
import { Bills } from "../../compiler/ship/sheets/bill.ts"
import { actTitle } from "../../playground/bench/labels.ts"
import { money, percent } from "../../playground/ui/figures.ts"
import { faults } from "./support/axe.ts"
import { LAMP, LAMP_FLICKERING, LAMP_HEDGED } from "./support/lamp.ts"
import {
  areCautionsSeen,
  focused,
  kept,
  keptJobs,
  keptRecords,
  openShared,
  playground,
  shared,
  soon,
  station,
} from "./support/page.ts"

const visit = playground()

/** A shared link opens at the bench, without the editor. */
async function atBench(text = LAMP): Promise<Page> {
  const { page } = await visit({ at: await shared(text) })
  await page.locator(".instruction").waitFor()
  return page
}

const graphOf = (text: string) => compile("shared.ruleout", () => text).graph!
const instruction = (page: Page) => page.locator(".instruction").textContent()
const press = (page: Page, name: RegExp | string) =>
  page.locator(".step").getByRole("button", { name }).click()

const buttons = { gone: /^Gone/, stays: /^Stays/, done: /^Done/, fails: /^It failed/ } as const

/** Lines of the board that aren't struck. */
const suspected = ".suspect:not(.out)"

/** Answers step by step as the runner's session is answered; after each the page shows what the session says. */
async function walk(page: Page, text: string, found: readonly (keyof typeof buttons)[]): Promise<Session> {
  const graph = graphOf(text)
  let session = open(graph)
  for (const each of found) {
    await press(page, buttons[each])
    session = session.answer(each)
    const { next, outlook, candidates } = session
    if ("act" in next) await soon(() => instruction(page)).toBe(actTitle(graph, next.act))
    if (next.do === "end") continue
    const outlookText = await page.locator(".outlook").textContent()
    expect(outlookText).toContain(money(outlook.cost, graph.money))
    expect(outlookText).toContain(percent(outlook.handedOver))
    const inside = candidates.filter(({ present }) => present > 0)
    const rows = await page.locator(suspected).allTextContents()
    expect(rows).toHaveLength(inside.length)
    for (const { info, present, active } of inside) {
      const row = rows.find((text) => text.startsWith(info?.label ?? "Something not listed"))
      expect(row).toContain(percent(present))
      if (active < present) expect(row).toContain(`now ${percent(active)}`)
    }
  }
  return session
}

async function proofPasses(page: Page, runs = 3): Promise<void> {
  for (let run = 1; run <= runs; run++) await page.getByRole("button", { name: /^Passed once more/ }).click()
  await page.getByText(`${runs} of ${runs}`).waitFor()
  await page.getByRole("button", { name: /close the job$/i }).click()
  await page.getByText("The machine passed its proof run").waitFor()
}

test("a swap is told from a seat by putting the old part back; the proof run closes the job, and it is recorded", async () => {
  const page = await atBench(LAMP.replace("takes 1 min", "takes 1 min expects output between 9 and 13 V"))
  expect(await instruction(page)).toBe("Fit the known-good lamp head")
  const changes = page.locator(".changes")
  await changes.getByText("The shop's known-good part goes in: lamp head.").waitFor()
  await changes.getByText("Disturbed on the way: head connector.").waitFor()
  await press(page, /^Gone/)
  expect(await instruction(page)).toBe("Put the old part back: lamp head")
  const status = page.locator(".machine-status")
  await status.getByText("The shop's part is in: lamp head").waitFor()
  await status.getByText("Before the job can be closed").waitFor()
  await press(page, /^Gone/)
  expect(await instruction(page)).toBe("Close the job")
  expect(await status.textContent()).not.toContain("The shop's part is in")
  // Two cells of the reading, side by side: one range.
  await page.getByText("Expected: Voltage at the head 9 to 13 V").waitFor()
  expect(await page.getByRole("button", { name: /close the job$/i }).isDisabled()).toBe(true)
  await proofPasses(page)
  await page.getByRole("button", { name: "Record the job" }).click()
  await station(page, "Cases")
  await page.getByText("1 case walked through work_light").first().waitFor()
  await soon(() => page.locator(".case-table tbody tr").textContent()).toContain("✓ fixed and closed")
})

test("a first repair does not hold: two faults become likely, both are found, and the job closes", async () => {
  const page = await atBench(LAMP_HEDGED)
  const session = await walk(page, LAMP_HEDGED, ["stays", "gone"])
  const [suspicion] = session.suspicions
  expect(suspicion?.of).toBe("two faults")
  const said = page.locator(".suspicion")
  expect(await said.textContent()).toContain(
    `Two faults at once have become likely: ${percent(suspicion!.chance)}.`,
  )
  expect(await said.locator("li").count()).toBe(suspicion!.steps.length)
  expect(await said.textContent()).toContain("Fit the known-good lamp head complaint stays")
  await page.locator(".pairs summary").click()
  const [pair] = session.pairs
  expect(await page.locator(".pairs li").first().textContent()).toContain(percent(pair!.chance))
  expect(await faults(page)).toEqual([])

  await page.locator(".machine-status").getByText("lamp head, battery pack").waitFor()
  await page.reload()
  await page.locator(".instruction").waitFor()
  await press(page, "Done")
  expect(await instruction(page)).toBe("Take out the shop's part, refit the old one: lamp head")
  await press(page, "Done")
  await press(page, /^Stays/)
  expect(await instruction(page)).toBe("Fit the known-good lamp head")
  await press(page, /^Gone/)
  expect(await instruction(page)).toBe("Keep the shop's part in: lamp head")
  await page.locator(".chips").getByText("Part 300").waitFor()
  await page.locator(".cures").getByText("Head failed").waitFor()
  await press(page, "Done")
  await proofPasses(page)
  await page.getByLabel("It turned out to be").selectOption({ label: "head failed" })
  await page.getByLabel("And also").selectOption({ label: "battery pack worn" })
  await page.getByRole("button", { name: "Record the job" }).click()
  await page.getByRole("button", { name: "Show the cases" }).click()
  await page.getByText("1 case with two faults.").waitFor()
  await soon(() => page.locator(".case-table tbody tr").textContent()).toContain(
    "head failed and battery pack worn",
  )
})

test("what nobody listed becomes likely, is handed over with the reasons, and comes back with all that was found", async () => {
  const page = await atBench(LAMP_HEDGED)
  const session = await walk(page, LAMP_HEDGED, ["stays", "stays", "stays", "stays"])
  expect(session.suspicions.map(({ of }) => of)).toContain("not listed")
  await page.getByText("A fault that nobody listed has become likely").waitFor()
  await soon(() => instruction(page)).toBe("Hand the machine over with what is known")
  await page.locator(".step").getByText("Take out the shop's parts first").waitFor()
  expect(await faults(page)).toEqual([])
  await press(page, "Handed over")
  await soon(() => instruction(page)).toBe("The machine was handed over")
  await page.getByLabel("It turned out to be").selectOption({ label: "something not listed" })
  expect(await page.getByLabel("And also").count()).toBe(0)
  await page.getByRole("button", { name: "It came back: go on with what was found" }).click()
  await page.locator(".log").getByText("The machine came back").waitFor()
  expect(await page.locator(".log li").count()).toBe(session.log.length + 2)
  expect(await page.locator(".log li").first().textContent()).toContain("complaint stays")
})

test("a failed proof run goes on; a finding that leaves nothing names those that may be wrong", async () => {
  const page = await atBench(LAMP_FLICKERING)
  let session = open(graphOf(LAMP_FLICKERING))
  const untilClosing: "gone"[] = []
  for (; session.next.do !== "close"; session = session.answer("gone")) untilClosing.push("gone")
  await walk(page, LAMP_FLICKERING, untilClosing)
  await page.getByRole("button", { name: /^Passed once more/ }).click()
  await page.getByRole("button", { name: "It failed: go on" }).click()
  await page.locator(".log").getByText("proof run failed").waitFor()
  await soon(() => instruction(page)).toBe("Replace: lamp head")
  // A repair carries the cautions of the tests that work on the same part.
  await page.locator(".cautions").getByText("Hot lamp head: let it cool first.").waitFor()
  await press(page, /^Stays/)
  await soon(() => instruction(page)).toBe("Nothing listed fits these findings")
  const { next } = session.answer("fails").answer("stays")
  if (next.do !== "handover") throw new Error("a handover is wanted")
  expect(next.atOdds.length).toBeGreaterThan(0)
  const odds = page.locator(".odds > li")
  expect(await odds.count()).toBe(next.atOdds.length)
  await odds
    .last()
    .getByRole("button", { name: /^Take back step/ })
    .click()
  await soon(() => page.locator(".log li").count()).toBe(untilClosing.length + 1)
})

test("another action than the planned one is shown with its cautions before it is done, and there is a way back", async () => {
  const page = await atBench()
  await page.getByText("Found or did something else?").click()
  await page.getByLabel("An action").selectOption({ label: "Replace: lamp head" })
  await soon(() => instruction(page)).toBe("Replace: lamp head")
  await soon(() => focused(page)).toMatchObject({ id: "step-title" })
  await page.getByText("your choice, not the plan's").waitFor()
  await page.locator(".cautions").getByText("Hot lamp head").waitFor()
  await page.locator(".changes").getByText("Disturbed on the way: head connector.").waitFor()
  await press(page, "Back to the planned step")
  await soon(() => instruction(page)).toBe("Fit the known-good lamp head")
  await page.getByLabel("An action").selectOption({ label: "Replace: lamp head" })
  await press(page, /^Stays/)
  await page.locator(".log").getByText("Replace: lamp head complaint stays").waitFor()
  await soon(() => instruction(page)).toBe("Fit the known-good battery pack")
  await page.setViewportSize({ width: 360, height: 740 })
  const all = page.locator(".bench *")
  const right = await all.evaluateAll((list) => list.map((each) => each.getBoundingClientRect().right))
  expect(Math.max(...right)).toBeLessThanOrEqual(360)
})

test("the board shows at its place what was done, and what is next; chances of answers wait to be asked for", async () => {
  const page = await atBench()
  const place = (label: string) =>
    page.locator(".place", { has: page.locator(`> .place-head h3:text-is("${label}")`) })
  const marks = async (label: string) =>
    (await place(label).locator("> .place-head .mark").allTextContents()).map((text) => text.trim())
  expect(await marks("lamp head")).toEqual(["this step"])
  expect(await marks("head connector")).toEqual([])
  const choices = page.locator(".step .choices")
  expect(await choices.textContent()).not.toContain("%")
  await page.getByRole("button", { name: "Show the chances" }).click()
  const { next } = open(graphOf(LAMP))
  const [gone] = "outcomes" in next ? next.outcomes : []
  expect(await choices.textContent()).toContain(`expected ${percent(gone!.chance)}`)
  await press(page, /^Gone/)
  await soon(() => marks("lamp head")).toEqual(["this step", "shop's part in"])
  expect(await marks("head connector")).toEqual(["disturbed step 1"])
  expect(await page.locator(".step .choices").textContent()).not.toContain("%")
  await press(page, /^Stays/)
  await press(page, /^Gone/)
  expect(await marks("lamp head")).toEqual([
    "good part tried step 1",
    "old part back step 2",
    "new part step 3",
  ])
  expect(await place("lamp head").locator(suspected).count()).toBeGreaterThan(0)
  const now = open(graphOf(LAMP)).answer("gone").answer("stays").answer("gone")
  const struck = now.candidates.filter(({ present, out }) => present === 0 && out).length
  await page.getByText(`${struck} of 3 suspects struck`).waitFor()
})

test("a part may be left in; a finding can be taken back, and what would bring a suspect back is said", async () => {
  const page = await atBench()
  await page.getByLabel(/leave the shop's part in/).check()
  await press(page, /^Stays/)
  await page.locator(".log").getByText("known-good part left in").waitFor()
  await page.locator(".machine-status").getByText("The shop's part is in: lamp head").waitFor()
  const suspects = page.locator(suspected)
  expect(await suspects.count()).toBe(1)
  const struck = page.locator(".suspect.out").first()
  expect(await struck.textContent()).toMatch(/step 1/)
  await struck.locator("summary").click()
  await page.getByText("It would be back if one of these were wrong: step 1").first().waitFor()
  await page.getByRole("button", { name: /^Take back step 1/ }).click()
  expect(await suspects.count()).toBe(3)
})

test("can't be done here, a number in another unit, an answer out of range, and findings out of order", async () => {
  const page = await atBench()
  await press(page, "Can't do this here")
  await press(page, "No spare part")
  await page.locator(".log").getByText("can't be done here: no spare part").waitFor()
  await page.getByRole("button", { name: /^Take back step 1/ }).click()
  await page.getByText("Found or did something else?").click()
  await page.getByLabel("A finding").selectOption({ label: "Voltage at the head" })
  const other = page.locator(".other")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("99")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.getByText("a number from 0 to 30 V").waitFor()
  await other.getByLabel("Unit of Voltage at the head").selectOption("mV")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("11900")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.locator(".log").getByText("11.9 V").waitFor()
  await page.getByText("worked out from the model").waitFor()
})

test("a number is read as it is typed on paper: with a decimal comma, and the sign for minus", async () => {
  const page = await atBench(LAMP.replace("from 0 to 30", "from -30 to 30"))
  await page.getByText("Found or did something else?").click()
  await page.getByLabel("A finding").selectOption({ label: "Voltage at the head" })
  const other = page.locator(".other")
  await other.getByRole("textbox", { name: "Voltage at the head" }).fill("−2,5")
  await other.getByRole("button", { name: "Note this finding" }).click()
  await page.locator(".log").getByText("-2.5 V").waitFor()
})

/** Another machine, in whose ruleset all names are those of the work light. */
const LANTERN = LAMP.replace('work_light "Work light: no light"', 'lantern "Lantern: no light"')
const openList = (page: Page) => page.getByRole("button", { name: /^\d+ jobs?$/ }).click()
const logLines = (page: Page) => page.locator(".log li").allTextContents()

test("jobs of two machines stay apart, whatever is opened; a finished one goes to the cases of its own ruleset", async () => {
  const page = await atBench()
  await press(page, /^Stays/)
  await page.getByRole("button", { name: "New job" }).click()
  await soon(() => page.locator(".log li").count()).toBe(0)
  await press(page, /^Gone/)
  await soon(() => page.getByRole("button", { name: "2 jobs" }).count()).toBe(1)

  await openShared(page, LANTERN)
  await page.locator(".job-name").getByText("Lantern: no light").waitFor()
  expect(await page.locator(".log li").count()).toBe(0)
  await press(page, /^Gone/)
  await press(page, /^Gone/)
  await openList(page)
  const jobs = page.locator(".job")
  expect(await jobs.count()).toBe(3)
  expect(await jobs.first().textContent()).toMatch(/Lantern.*Step 3: Close the job.*just now/)
  await jobs
    .last()
    .getByRole("button", { name: /^Go on with/ })
    .click()
  await page.locator(".job-name").getByText("Work light: no light").waitFor()
  expect(await logLines(page)).toEqual([expect.stringContaining("complaint stays")])

  // Another job of the other machine, while the text at hand stays.
  const shelf = page.getByRole("region", { name: "Other rulesets here" })
  await shelf.getByRole("button", { name: "New job on Lantern: no light" }).click()
  await page.locator(".job-name").getByText("Lantern: no light").waitFor()
  await shelf.getByRole("button", { name: "New job on Work light: no light" }).waitFor()
  await station(page, "Cases")
  await station(page, "Bench")
  await page.locator(".job-name").getByText("Lantern: no light").waitFor()
  await openList(page)
  await jobs
    .last()
    .getByRole("button", { name: /^Go on with/ })
    .click()
  await page.locator(".job-name").getByText("Work light: no light").waitFor()

  // Handed over while another machine's ruleset is at hand: its record goes to its own cases.
  await press(page, /^Stays/)
  await press(page, "Handed over")
  await page.getByRole("button", { name: "Record the job" }).click()
  await page.getByText(/^Added J-.* to the cases of work_light\.$/).waitFor()
  await page.getByRole("button", { name: "Next job" }).click()
  await soon(() => page.locator(".log li").count()).toBe(0)
  await station(page, "Cases")
  await page.getByText("No cases yet").waitFor()
  await openShared(page, LAMP)
  await page.locator(".job-name").getByText("Work light: no light").waitFor()
  // Its own open job is gone on with.
  expect(await logLines(page)).toEqual([expect.stringContaining("complaint gone")])
  await station(page, "Cases")
  await page.getByText("1 case walked through work_light").first().waitFor()
  await station(page, "Bench")
  await openList(page)
  await page.getByLabel("A machine came back: its old record").selectOption({ index: 1 })
  await page.locator(".log").getByText("The machine came back").waitFor()
  expect((await logLines(page))[0]).toContain("Fit the known-good lamp head complaint stays")

  await openList(page)
  expect(await jobs.count()).toBe(3)
  await page.getByRole("button", { name: /^Throw away J-.*-2$/ }).click()
  await soon(() => jobs.count()).toBe(2)
  await page.getByRole("button", { name: "Have it back" }).click()
  await soon(() => jobs.count()).toBe(3)
  expect(await faults(page)).toEqual([])
})

test("the clock fills the minutes, notes stay with the job, and all of it is on the sheet to hand over", async () => {
  const page = await atBench()
  await page.clock.install()
  await page.getByRole("button", { name: "Start the clock" }).click()
  await page.clock.fastForward(7 * 60_000)
  await page.getByRole("textbox", { name: "Notes" }).fill("Lens cracked.\nTold the owner.")
  await press(page, /^Gone/)
  await page.clock.fastForward(2 * 60_000)
  await press(page, "Can't do this here")
  await page.getByLabel("Another reason").fill("the seat is glued")
  await press(page, "Go on without it")
  await page.locator(".log").getByText("can't be done here: the seat is glued").waitFor()
  await page.reload()
  await page.locator(".log").getByText("the seat is glued").waitFor()
  expect(await page.getByRole("textbox", { name: "Notes" }).inputValue()).toBe(
    "Lens cracked.\nTold the owner.",
  )
  await page.getByRole("button", { name: "Handover", exact: true }).click()
  const paper = page.frameLocator("iframe[title='Sheet: Handover']")
  await paper.getByRole("heading", { name: "Handover" }).waitFor()
  const sheet = (await paper.locator("body").textContent())!.replaceAll("\u00a0", " ")
  for (const words of [
    "Work light: no light",
    "No light when it is switched on",
    "Fit the known-good lamp head: complaint gone (7 min)",
    "can't be done here (the seat is glued)",
    "The shop's parts in it: lamp head",
    "Lens cracked.",
    "Local codes and licensed practice",
  ])
    expect(sheet).toContain(words)
  const size = () =>
    paper
      .locator("body")
      .evaluate(({ ownerDocument }) => ownerDocument.adoptedStyleSheets[0]!.cssRules[0]!.cssText)
  expect(await size()).toMatch(/^@page.*a4/i)
  await page.getByRole("combobox", { name: /^Paper/ }).selectOption("Letter")
  await soon(size).toMatch(/^@page.*letter/i)
})

test("where the owner stops is said when the bill may pass it, asked on paper, and goes on record", async () => {
  const page = await atBench()
  const card = page.locator(".owner")
  const { spent, expected, high } = new Bills(graphOf(LAMP)).of(open(graphOf(LAMP)))
  const amounts = [spent, expected, high!].map((amount) => money(Math.round(amount * 100) / 100, "EUR"))
  await soon(() => card.locator("dd").allTextContents()).toEqual([
    ...amounts,
    expect.any(String),
    "0\u00a0min",
  ])
  const limit = card.getByLabel("The owner stops at (EUR)")
  await limit.fill("much")
  await limit.press("Tab")
  await card.getByText("That is no amount").waitFor()
  await limit.fill("120")
  await limit.press("Tab")
  await card.getByText("The bill is expected to pass 120 EUR, at which the owner stops").waitFor()
  await card.getByRole("button", { name: "Sheet for the owner" }).click()
  const paper = page.frameLocator("iframe[title='Sheet: For the owner']")
  await paper.getByText("The bill is expected to pass 120 EUR, at which you wanted to stop").waitFor()
  await card.getByRole("button", { name: "Not worth repairing: stop here" }).click()
  await card.getByText("Ended: not worth repairing.").waitFor()
  await page.getByRole("button", { name: "Record the job" }).click()
  await page.getByText(/^Added J-/).waitFor()
  await soon(() => keptRecords(page)).toMatchObject([{ owner_stops_at: 120, not_worth_repairing: true }])
})

test("a step that waits leaves the bench free for another job, and the page says when the wait is over", async () => {
  const page = await atBench(LAMP.replace("takes 6 min power off", "takes 6 min waits 30 min power off"))
  await page.clock.install()
  await page.getByText("This step waits 30 min").waitFor()
  await page.getByRole("button", { name: "It waits from now" }).click()
  await page.getByText(/^Waits until .*, 30\smin more/).waitFor()
  await page.getByText("No other open job can go on meanwhile.").waitFor()
  const first = (await page.locator(".job-name b").textContent())!
  await page.getByRole("button", { name: "New job" }).click()
  await press(page, /^Gone/)
  await page.locator(".log li").waitFor()
  const second = (await page.locator(".job-name b").textContent())!
  await openList(page)
  await page.getByRole("button", { name: `Go on with ${first}` }).click()
  await page.getByText("Meanwhile:").waitFor()
  await page
    .getByRole("region", { name: "Waiting" })
    .getByRole("button", { name: `Go on with ${second}` })
    .click()
  await soon(() => page.locator(".job-name b").textContent()).toBe(second)
  await page.clock.fastForward(31 * 60_000)
  await page.getByText(`The wait of ${first} is over`).waitFor()
  await page.getByRole("button", { name: "Go on with it" }).click()
  await page.getByText("The wait is over.", { exact: true }).waitFor()
  expect(await faults(page)).toEqual([])
})

test("one job in two tabs: each sees what the other found; what both enter at once is kept twice", async () => {
  const page = await atBench()
  await press(page, /^Stays/)
  await page.locator(".log li").waitFor()
  const second = await page.context().newPage()
  await second.goto(`${inject("playground")}#bench`)
  await second.locator(".log li").waitFor()
  await second.locator(".step").getByRole("button", { name: buttons.stays }).click()
  await page.getByText(/went on in another tab\. This is how it stands now/).waitFor()
  await soon(() => page.locator(".log li").count()).toBe(2)

  // A tab that hears nothing, as one that the browser has put to sleep.
  await page
    .locator(".log")
    .getByRole("button", { name: /^Take back step 2/ })
    .click()
  await soon(() => second.locator(".log li").count()).toBe(1)
  await page.evaluate(() => {
    BroadcastChannel.prototype.postMessage = () => {}
  })
  await press(page, /^Stays/)
  await second
    .locator(".log")
    .getByRole("button", { name: /^Take back step 1/ })
    .click()
  await second.getByText(/also went on in another tab\. What you entered here is kept as J-.*-b/).waitFor()
  await openList(second)
  expect(await second.locator(".job").count()).toBe(2)
})

test("a changed ruleset leaves a job on the text it began with, until the bench says otherwise", async () => {
  const page = await atBench()
  await press(page, /^Gone/)
  await soon(async () => (await keptJobs(page)).map(({ steps }) => steps.length)).toEqual([1])
  await openShared(page, LAMP.replaceAll("try_head", "swap_head"))
  await page.getByText("The ruleset has changed since this job began").waitFor()
  expect(await logLines(page)).toEqual([expect.stringContaining("complaint gone")])
  await page.getByRole("button", { name: "Go on with the new text" }).click()
  await page.getByText("left out: try_head").waitFor()
  expect(await page.locator(".log li").count()).toBe(0)
})

test.each(["refused", "full"])("with storage %s all works in memory, and the page says so", async (how) => {
  const { page, context } = await visit()
  await context.addInitScript((why) => {
    if (why === "refused")
      IDBFactory.prototype.open = () => {
        throw new DOMException("blocked", "SecurityError")
      }
    else
      IDBObjectStore.prototype.put = () => {
        throw new DOMException("full", "QuotaExceededError")
      }
  }, how)
  await openShared(page, LAMP)
  await page.locator(".instruction").waitFor()
  await press(page, /^Stays/)
  await page.locator(".log li").waitFor()
  await soon(() => page.locator(".saved").textContent()).toMatch(/^Not stored|^No room left/)
  await page.getByRole("button", { name: "New job" }).click()
  await openList(page)
  await page.getByRole("button", { name: /^Go on with/ }).click()
  await page.locator(".log li").waitFor()
})

test("a stored job of another version of the page is gone on with, or the page says that it can't be", async () => {
  const page = await atBench()
  await kept(page)
  const store = (job: object) =>
    page.evaluate(
      (value) =>
        new Promise<void>((done, failed) => {
          const opening = indexedDB.open("ruleout")
          opening.onerror = () => failed(opening.error)
          opening.onsuccess = () => {
            const putting = opening.result.transaction("now", "readwrite")
            putting.objectStore("now").put(value, "job")
            putting.oncomplete = () => {
              opening.result.close()
              done()
            }
          }
        }),
      job,
    )
  const job = { source: "sha256:0", id: "J-1" }
  await store({ ...job, proofs: [0], steps: [{ name: "try_head", found: "stays" }] })
  await page.reload()
  await page.locator(".log").getByText("complaint stays").waitFor()
  await store({ ...job, rounds: [] })
  await page.reload()
  await page.getByText("comes from another version of this page").waitFor()
  await press(page, /^Stays/)
  await page.locator(".log").getByText("complaint stays").waitFor()
  expect(await page.getByText("comes from another version of this page").count()).toBe(0)
})

test("cautions stand before the instruction, at repairs too; local codes are deferred to once a job", async () => {
  const page = await atBench(LAMP.replace(/^test try_battery.*\n/m, ""))
  const order = await page.locator(".step > *").evaluateAll((all) => all.map((each) => each.className))
  expect(order.indexOf("cautions")).toBeGreaterThan(-1)
  expect(order.indexOf("cautions")).toBeLessThan(order.indexOf("instruction"))
  const cautions = page.locator(".cautions")
  expect(await cautions.textContent()).toContain("Hot lamp head: let it cool first.")
  const codes = page.getByText("Local codes and licensed practice come before")
  expect(await codes.count()).toBe(1)
  await page.getByText("Found or did something else?").click()
  await page.getByLabel("An action").selectOption({ label: "Replace: battery pack" })
  await cautions.getByText("The ruleset gives no caution for this work.").waitFor()
  await press(page, /^Stays/)
  await page.locator(".log").getByText("Replace: battery pack").waitFor()
  expect(await codes.count()).toBe(0)
})

test("on a phone each step opens with its cautions on the screen, wherever the last answer was given", async () => {
  const { page } = await visit({ at: await shared(LAMP_HEDGED), viewport: { width: 360, height: 740 } })
  await page.locator(".instruction").waitFor()
  await page.getByRole("button", { name: "Close this message" }).click()
  expect(await areCautionsSeen(page)).toBe(true)
  for (let step = 1; step < 4; step++) {
    await page.locator("#stage").evaluate((stage) => stage.scrollTo(0, stage.scrollHeight))
    await press(page, buttons.stays)
    await page
      .locator(".log li")
      .nth(step - 1)
      .waitFor()
    if ((await page.locator(".step .cautions").count()) > 0) expect(await areCautionsSeen(page)).toBe(true)
  }
})

test("the whole job is done by keys alone", async () => {
  const page = await atBench()
  await page.keyboard.press("Alt+2")
  await page.keyboard.press("Alt+3")
  await page.locator(".instruction").waitFor()
  const tabTo = async (name: RegExp) => {
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press("Tab")
      if (name.test((await focused(page)).label)) return
    }
    throw new Error(`no Tab leads to ${name}`)
  }
  await tabTo(/^Gone/)
  await page.keyboard.press("Enter")
  await soon(() => focused(page)).toMatchObject({ id: "step-title" })
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
