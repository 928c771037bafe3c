import { describe, expect, test } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { codesPage } from "../../compiler/check/codes-page.ts"
import { frame } from "../../compiler/check/example-ruleset.ts"
import { analysed, codesIn } from "./text.ts"

const withFrame = (declarations: string) => `${frame}\n${declarations}\n`

test("the ruleset that the examples build on has no finding at all", () => {
  expect(analysed(frame)).toEqual([])
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
    "hearsay",
    "idle-rule",
    "inseparable",
    "live-without-caution",
    "never-blamed",
    "never-done",
    "no-way-on",
    "opposed-rules",
    "short-proof",
    "silent-reading",
    "uncovered-values",
    "unreachable-rule",
  ])
})

describe.each(checks)("$code", ({ code, severity, example, fixed, alongside = [] }) => {
  test("the example trips it, and nothing unforeseen", () => {
    const diagnostics = analysed(withFrame(example))
    expect(codesIn(diagnostics.filter((each) => each.code === code))).toEqual([code])
    for (const each of diagnostics) {
      if (each.code === code) expect(each.severity).toBe(severity)
      else if (each.severity !== "note") expect(alongside).toContain(each.code)
    }
  })

  test("the fixed example is clean", () => {
    const diagnostics = analysed(withFrame(fixed))
    expect(diagnostics.filter((each) => each.severity !== "note")).toEqual([])
    expect(codesIn(diagnostics)).not.toContain(code)
  })

  test("every finding speaks the trade's words, at a place in the text", () => {
    for (const each of analysed(withFrame(example))) {
      expect(each.message).toMatch(/`/)
      expect(each.message).toMatch(/\.$/)
      expect(`${each.message} ${each.help ?? ""}`).not.toMatch(/undefined|NaN|Infinity|\[object/)
      expect(each.span.end).toBeGreaterThan(each.span.start)
    }
  })
})

test("a told question that nothing uses is one finding and not two of the same", () => {
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
  const page = codesPage((code, example) => analysed(withFrame(example)).filter((each) => each.code === code))
  await expect(page).toMatchFileSnapshot("../../compiler/check/CODES.md")
})
