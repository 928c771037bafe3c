import { describe, expect, test } from "vitest"
import { compile } from "../../../compiler/compile.ts"
import { type Graph, open } from "../../../compiler/run/index.ts"
import { PAPERS } from "../../../compiler/ship/sheets/paper.ts"
import { SHEET_KINDS, type SheetKind, sheet } from "../../../compiler/ship/sheets/sheets.ts"
import { kiosk } from "../parts.ts"

const HOSTILE = '</style><script>alert(1)</script>"&'

/** Words of the page, without its head. */
const words = (page: string) =>
  page
    .slice(page.indexOf("<body>"))
    .replace(/<[^>]*>/g, " ")
    .replaceAll("&#39;", "'")
    .replace(/\s+/g, " ")

const job = open(kiosk)
  .find({ test: "look_glow" }, "no")
  .find({ test: "try_panel" }, "stays", { leftIn: true })
const page = (kind: SheetKind, graph: Graph = kiosk, session = job) =>
  sheet(kind, graph, session, { paper: "a4", id: "K-7", date: "2026-03-09", ownerStopsAt: 90 })

describe.each(SHEET_KINDS)("the sheet %s", (kind) => {
  test.each(PAPERS)(
    "is one page for %s that loads and runs nothing, with the job and the local codes",
    (paper) => {
      const text = sheet(kind, kiosk, job, { paper, id: "K-7" })
      expect(text).toContain(`@page { size: ${paper === "a4" ? "A4" : "letter"}`)
      expect(text).toContain("default-src 'none'; style-src 'unsafe-inline'")
      expect(text).not.toMatch(/<script|src=|href=|url\(/)
      expect(words(text)).toContain("K-7")
      expect(words(text)).toContain("Local codes and licensed practice come before anything on this sheet.")
    },
  )

  test("writes whatever a ruleset and a job have as text", () => {
    const ruleset = { ...kiosk.ruleset, title: HOSTILE }
    const complaint = { ...kiosk.complaint, text: HOSTILE }
    const faults = kiosk.faults.map((fault) => ({ ...fault, label: HOSTILE }))
    const tests = kiosk.tests.map((each) => ({ ...each, instruction: HOSTILE }))
    const hostile = { ...kiosk, ruleset, complaint, faults, tests } as Graph
    const text = sheet(kind, hostile, open(hostile).find({ test: "look_glow" }, "no"), {
      paper: "a4",
      id: HOSTILE,
    })
    expect(text.match(/<\/style>/g)).toHaveLength(1)
    expect(text).not.toContain("<script")
  })
})

test("intake asks what the owner can tell, and the machine's complaint", () => {
  const text = words(page("intake"))
  expect(text).toContain("Was the kiosk moved just before?")
  expect(text).toContain("yes")
  expect(text).toContain("The owner stops at (EUR): 90 EUR")
})

test("a job card has what was found, the next step with its cautions, and all that can be done", () => {
  const text = words(page("job"))
  expect(text).toContain("Shade the screen and look for a glow: no")
  expect(text).toContain("known-good part left in")
  for (const { instruction, cautions } of kiosk.tests)
    expect(text).toContain([...cautions.map((caution) => `Caution: ${caution}`), instruction].join(" "))
  const live = open(kiosk).cannot("look_glow").cannot("moved").cannot("reseat_ribbon")
  const before = live.next
  if (!("act" in before)) throw new Error("There is a step.")
  for (const caution of before.cautions)
    expect(words(page("job", kiosk, live))).toContain(`Caution: ${caution}`)
})

test("a handover names the shop's parts in the machine and what is suspected", () => {
  const text = words(page("handover"))
  expect(text).toContain("The shop's parts in it: display panel")
  expect(text).toContain("What is likely")
})

test("the owner's sheet says what each way on costs, and what passes the limit", () => {
  const text = words(page("owner"))
  expect(text).toContain("Go on to the end")
  expect(text).toContain("Stop here")
  expect(text).toMatch(/The bill (is expected to|may) pass 90 EUR, at which you wanted to stop/)
  expect(text).toMatch(/with a chance of \d/)
})

test("a shop without told questions or proofs has sheets too", () => {
  const { graph } = compile("bare.ruleout", () =>
    [
      'ruleset bare "Bare"',
      'part p "part" price 5',
      'complaint c "it fails"',
      'fault f "fault" in p odds 1',
    ].join("\n"),
  )
  for (const kind of SHEET_KINDS)
    expect(words(sheet(kind, graph!, open(graph!), { paper: "letter" }))).not.toMatch(/undefined|NaN/)
})
