import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, expect, test } from "vitest"
import { check, checks } from "../../compiler/check/check.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { fix } from "../../compiler/cli/commands/fix.ts"
import { applyChanges } from "../../compiler/diagnostics/apply-edits.ts"
import { analysed, codesIn, modelFrom } from "./text.ts"

const folder = mkdtempSync(join(tmpdir(), "ruleout-fix-"))
afterAll(() => rmSync(folder, { recursive: true }))

function fixed(text: string): { text: string; titles: string[] } {
  const file = join(folder, "one.ruleout")
  writeFileSync(file, text)
  const done = fix(file)
  return { text: readFileSync(file, "utf8"), titles: done.map(({ title }) => title) }
}

const rules = `when rail below 22 V  rule out motor_worn
when rail below 20 V  rule out motor_worn  # narrower
when rail below 20 V  rule out motor_worn
`

test("idle rules go, one after the other, and the rest stays as it was", () => {
  const after = fixed(`${FRAME}\n${rules}`)
  expect(after.titles).toEqual(["remove the idle rule", "remove the idle rule"])
  expect(after.text.startsWith(FRAME)).toBe(true)
  expect(after.text).toContain("when rail below 22 V  rule out motor_worn\n")
  expect(after.text).not.toContain("below 20 V")
  expect(codesIn(analysed(after.text).filter(({ severity }) => severity !== "note"))).toEqual([])
})

test("nothing that could change what a ruleset means is applied", () => {
  for (const { code, example } of checks) {
    if (code === "idle-rule") continue
    const text = `${FRAME}\n${example}\n`
    expect(fixed(text)).toEqual({ text, titles: [] })
  }
})

/** Without a plan: no code about the plan offers an edit. */
const said = (text: string) => check(modelFrom(text))

test("every edit offered, applied by itself, gives a text that can be read and no longer has that finding", () => {
  let count = 0
  for (const { code, example } of checks) {
    const text = `${FRAME}\n${example}\n`
    for (const finding of said(text)) {
      for (const edit of finding.edits) {
        count++
        const after = said(applyChanges(text, edit.changes))
        expect(
          after.map(({ message }) => message),
          `${code}: ${edit.title}`,
        ).not.toContain(finding.message)
      }
    }
  }
  expect(count).toBeGreaterThan(5)
})
