import { XmlDocument, type XmlElement } from "libxml2-wasm"
import { describe, expect, test } from "vitest"
import { sarifValidator } from "../../support/sarif.ts"
import { openFolder, said } from "../run.ts"

const { read, put } = openFolder()
const seat = read("seat.ruleout")

const bad = put("bad.ruleout", seat.replace("swaps board", "swaps bord").replace("in seat ", "in seatt"))
const scenario = put(
  "scenario.ruleout",
  `${seat}scenario "By <the> plan & more"
  expects next try_board
scenario "50%: by hope, only"
  expects close
`,
)

/** The cases of a file of results: where, and what failed in each. */
function casesIn(xml: string) {
  const document = XmlDocument.fromString(xml)
  const all = document.find("//testcase") as XmlElement[]
  const found = all.map((each) => ({
    name: each.attr("name")?.value,
    at: `${each.attr("file")?.value}:${each.attr("line")?.value}`,
    failures: (each.find("failure") as XmlElement[]).map((failure) => failure.attr("message")?.value),
  }))
  const [suites] = document.find("/testsuites") as XmlElement[]
  const counts = [suites!.attr("tests")?.value, suites!.attr("failures")?.value]
  document.dispose()
  return { counts, found }
}

describe("ruleout check --format", () => {
  test("sarif and json are what --sarif and --json print, and two formats are refused", async () => {
    for (const format of ["sarif", "json"])
      expect(await said(["check", bad, "--format", format])).toEqual(
        await said(["check", bad, `--${format}`]),
      )
    expect((await said(["check", bad, "--format", "sarif", "--json"])).err).toContain(
      "Use either --format sarif or --json.",
    )
    expect((await said(["check", bad, "--format", "html"])).exit).toBe(2)
  })

  test("github: each problem with its file, lines, columns and code", async () => {
    const { out, exit } = await said(["check", bad, "--format", "github"])
    expect(exit).toBe(2)
    expect(out).toMatchInlineSnapshot(`
      "::error file=bad.ruleout,line=14,endLine=14,col=41,endColumn=46,title=unknown-name::No part or setup is called \`seatt\`.%0ADid you mean \`seat\`? Otherwise, declare \`seatt\`.
      ::error file=bad.ruleout,line=16,endLine=16,col=49,endColumn=53,title=unknown-name::No part is called \`bord\`.%0ADid you mean \`board\`? Otherwise, declare \`bord\`.
      "
    `)
  })

  test("junit: each problem is a test that failed; a clean ruleset is one that passed", async () => {
    const { out, exit } = await said(["check", bad, "seat.ruleout", "--format", "junit"])
    expect(exit).toBe(2)
    const { counts, found } = casesIn(out)
    expect(counts).toEqual(["3", "2"])
    expect(found).toEqual([
      { name: "unknown-name", at: "bad.ruleout:14", failures: ["No part or setup is called `seatt`."] },
      { name: "unknown-name", at: "bad.ruleout:16", failures: ["No part is called `bord`."] },
      { name: "no problems", at: "seat.ruleout:1", failures: [] },
    ])
  })
})

describe("ruleout test --format", () => {
  test("github: a scenario's text can't end the command, nor begin another", async () => {
    const { out, exit } = await said(["test", scenario, "--format", "github"])
    expect(exit).toBe(1)
    expect(out).toBe(
      "::error file=scenario.ruleout,line=23,endLine=23,col=3,endColumn=16,title=not-as-expected::Expected the proof run next, but it is `try_board`.\n",
    )
  })

  test("junit: each scenario is a test, whatever it is called", async () => {
    const { counts, found } = casesIn((await said(["test", scenario, "--format", "junit"])).out)
    expect(counts).toEqual(["2", "1"])
    expect(found).toEqual([
      { name: "By <the> plan & more", at: "scenario.ruleout:20", failures: [] },
      {
        name: "50%: by hope, only",
        at: "scenario.ruleout:22",
        failures: ["Expected the proof run next, but it is `try_board`."],
      },
    ])
  })

  test("sarif keeps to the schema", async () => {
    const { out } = await said(["test", scenario, "--format", "sarif"])
    const valid = sarifValidator()
    expect(valid(JSON.parse(out)), JSON.stringify(valid.errors)).toBe(true)
    expect(JSON.parse(out).runs[0].results).toMatchObject([{ ruleId: "not-as-expected", level: "error" }])
  })
})

describe("ruleout replay --format", async () => {
  put(
    "odd.cases.jsonl",
    `{"id":"K-1","steps":[{"test":"try_board","found":"stays"}]}
{"id":"K-2","steps":[{"test":"try_bord","found":"stays"}]}

{"id":"K-3"
`,
  )
  const replayed = (...args: string[]) => said(["replay", "seat.ruleout", "odd.cases.jsonl", ...args])

  test("github: each problem of a case with its line and columns in the file", async () => {
    const { out, exit } = await replayed("--format", "github")
    expect(exit).toBe(2)
    const lines = out.trimEnd().split("\n")
    expect(lines).toHaveLength(2)
    expect(lines[0]).toMatch(
      /^::warning file=odd\.cases\.jsonl,line=2,endLine=2,col=30,endColumn=40,.*try_bord/,
    )
    expect(lines[1]).toMatch(/^::error file=odd\.cases\.jsonl,line=4,/)
  })

  test("junit and sarif have the same problems; json is the report, and other output is refused", async () => {
    const { counts, found } = casesIn((await replayed("--format", "junit")).out)
    expect(counts).toEqual(["2", "2"])
    expect(found.map(({ at }) => at)).toEqual(["odd.cases.jsonl:2", "odd.cases.jsonl:4"])
    const valid = sarifValidator()
    const log = JSON.parse((await replayed("--format", "sarif")).out)
    expect(valid(log), JSON.stringify(valid.errors)).toBe(true)
    expect(log.runs[0].results).toHaveLength(2)
    expect(await replayed("--format", "json")).toEqual(await replayed("--json"))
    expect((await replayed("--format", "junit", "--csv")).err).toContain(
      "Use either --format junit or --csv.",
    )
  })
})
