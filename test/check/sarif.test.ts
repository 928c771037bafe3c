import { readFileSync } from "node:fs"
import { join } from "node:path"
import Ajv from "ajv"
import { expect, test } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { frame } from "../../compiler/check/example-ruleset.ts"
import { sarif } from "../../compiler/check/sarif.ts"
import { analysed } from "./text.ts"

/**
 * The schema of SARIF 2.1.0 as OASIS approved it (rtm.5), copied from the npm package @microsoft/jest-sarif 1.0.0-beta.0.
 * It is JSON Schema draft 4; draft 7, which the validator reads, differs for what is used here in the name of `id` alone.
 */
function validator() {
  const text = readFileSync(join(import.meta.dirname, "sarif-2.1.0-rtm.5.json"), "utf8")
  const { id, $schema: _, ...schema } = JSON.parse(text)
  return new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false, allErrors: true }).compile({
    ...schema,
    $id: id,
  })
}

const validate = validator()

test.each(checks)(
  "the log of what the example of $code finds is valid",
  ({ code, example, asksForGaps = false }) => {
    const text = `${frame}\n${example}\n`
    const diagnostics = analysed(text, { gaps: asksForGaps })
    const log = sarif(diagnostics, new Map([["one.ruleout", text]]), "1.2.3")
    expect(validate(log), JSON.stringify(validate.errors)).toBe(true)
    const [run] = (
      JSON.parse(JSON.stringify(log)) as {
        runs: { results: Result[]; tool: { driver: { rules: { id: string }[] } } }[]
      }
    ).runs
    expect(run!.results.length).toBe(diagnostics.length)
    for (const [i, { ruleId, ruleIndex, locations }] of run!.results.entries()) {
      expect(run!.tool.driver.rules[ruleIndex]!.id).toBe(ruleId)
      const { startLine, startColumn, charOffset, charLength } = locations[0]!.physicalLocation.region
      const line = text.slice(0, charOffset).split("\n")
      expect([startLine, startColumn]).toEqual([line.length, line.at(-1)!.length + 1])
      expect(charLength).toBe(diagnostics[i]!.span.end - diagnostics[i]!.span.start)
    }
    expect(run!.results.map(({ ruleId }) => ruleId)).toContain(code)
  },
)

interface Result {
  ruleId: string
  ruleIndex: number
  locations: {
    physicalLocation: { region: Record<"startLine" | "startColumn" | "charOffset" | "charLength", number> }
  }[]
}

test("the validator refuses a log with a wrong level", () => {
  const log = JSON.parse(JSON.stringify(sarif(analysed(frame), new Map(), "1.2.3")))
  log.runs[0].results = [{ message: { text: "x" }, level: "fatal" }]
  expect(validate(log)).toBe(false)
})
