import { expect, test } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { sarif } from "../../compiler/check/sarif.ts"
import { sarifValidator } from "../support/sarif.ts"
import { analysed } from "./text.ts"

const validate = sarifValidator()

test.each(checks)(
  "the log of what the example of $code finds is valid",
  ({ code, example, asksForGaps = false }) => {
    const text = `${FRAME}\n${example}\n`
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
  const log = JSON.parse(JSON.stringify(sarif(analysed(FRAME), new Map(), "1.2.3")))
  log.runs[0].results = [{ message: { text: "x" }, level: "fatal" }]
  expect(validate(log)).toBe(false)
})
