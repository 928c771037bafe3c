import { describe, expect, test } from "vitest"
import { CASE_CODES, type CaseCode } from "../../../compiler/cases/record/codes.ts"
import { caseCodesPage } from "../../../compiler/cases/record/codes-page.ts"
import { readCase } from "../../../compiler/cases/record/read.ts"
import { FRAME } from "../../../compiler/check/example-ruleset.ts"
import { compile } from "../../../compiler/compile.ts"

const graph = compile("gate.ruleout", () => FRAME).graph!
const said = (line: string) => readCase(line, 1, graph).diagnostics

describe.each(Object.keys(CASE_CODES) as CaseCode[])("%s", (code) => {
  const { severity, example, fixed } = CASE_CODES[code]

  test("the example trips it once, and nothing else", () => {
    expect(said(example).map((each) => [each.code, each.severity])).toEqual([[code, severity]])
  })

  test("of the fixed example there is nothing to say, and it is used", () => {
    expect(said(fixed)).toEqual([])
    expect(readCase(fixed, 1, graph).case?.id).toBe(JSON.parse(fixed).id)
  })
})

test("the reference of the codes is current (`vitest -u` writes it)", async () => {
  await expect(caseCodesPage(said)).toMatchFileSnapshot("../../../compiler/cases/CODES.md")
})
