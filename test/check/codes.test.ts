import { describe, expect, test, vi } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { codesPage } from "../../compiler/check/codes-page.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { analysed as analysedWith, codesIn } from "./text.ts"

/**
 * With plans that are proved best, so that the page depends on the rulesets alone; of codes that aren't about the plan a
 * fair one will do. Each text is analysed once.
 */
const known = new Map<string, Diagnostic[]>()
function analysed(text: string, code?: string, most = 20_000): Diagnostic[] {
  const own = checks.find((each) => each.code === code)
  const key = `${own?.ofPlan} ${own?.asksForGaps} ${text}`
  const cannot = code === "hangs-on-one" ? most : 200
  const effort = own?.ofPlan || own === undefined ? most : 500
  const found = known.get(key) ?? analysedWith(text, { gaps: own?.asksForGaps ?? false, cannot }, effort)
  known.set(key, found)
  return found
}

vi.setConfig({ testTimeout: 240_000 })

const withFrame = (declarations: string) => `${FRAME}\n${declarations}\n`

test("the ruleset that the examples build on has no problem at all", () => {
  expect(analysed(FRAME)).toEqual([])
})

test("all codes of the interface are there, each once", () => {
  expect(checks.map(({ code }) => code).sort()).toEqual([
    "beaten-test",
    "blind-test",
    "certain-never",
    "confounded",
    "contradiction",
    "dead-fault",
    "finer-than-meter",
    "free-repair",
    "gap-in-rules",
    "hangs-on-one",
    "hearsay",
    "idle-rule",
    "inseparable",
    "live-without-caution",
    "never-blamed",
    "never-done",
    "never-repaired",
    "no-way-on",
    "opposed-rules",
    "rule-against-shows",
    "short-proof",
    "silent-reading",
    "sure-of-itself",
    "uncovered-values",
    "unexplained",
    "ungated-repair",
    "unreachable-rule",
  ])
})

describe.each(checks)("$code", ({ code, severity, example, fixed, alongside = [] }) => {
  test("the example triggers it, and nothing unforeseen", () => {
    const diagnostics = analysed(withFrame(example), code)
    expect(codesIn(diagnostics.filter((each) => each.code === code))).toEqual([code])
    for (const each of diagnostics) {
      if (each.code === code) expect(each.severity).toBe(severity)
      else if (each.severity !== "note") expect(alongside).toContain(each.code)
    }
  })

  test("the fixed example is clean", () => {
    const diagnostics = analysed(withFrame(fixed), code, 2000)
    expect(diagnostics.filter((each) => each.severity !== "note")).toEqual([])
    expect(codesIn(diagnostics)).not.toContain(code)
  })

  test("every diagnostic has a whole message, at a place in the text", () => {
    for (const each of analysed(withFrame(example), code)) {
      expect(each.message).toMatch(/`/)
      expect(each.message).toMatch(/\.$/)
      expect(`${each.message} ${each.help ?? ""}`).not.toMatch(/undefined|NaN|Infinity|\[object/)
      expect(each.span.end).toBeGreaterThan(each.span.start)
    }
  })
})

test("a told question that nothing uses is one problem and not two of the same", () => {
  const idle = analysed(withFrame('told moved "Was it moved?"  yes or no  trust 80%'))
  expect(codesIn(idle)).toEqual(["silent-reading"])
  const alike = analysed(
    withFrame(
      'told moved "Was it moved?"  yes or no  trust 80%\nwhen moved is yes and rail below 0.1 V  rule out gear_held',
    ),
  )
  expect(codesIn(alike)).not.toContain("silent-reading")
})

test("the reference of the codes is current (`vitest -u` writes it)", async () => {
  const page = codesPage((code, example) =>
    analysed(withFrame(example), code).filter((each) => each.code === code),
  )
  await expect(page).toMatchFileSnapshot("../../compiler/check/CODES.md")
})
