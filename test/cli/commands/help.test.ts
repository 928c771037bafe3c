import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { checks } from "../../../compiler/check/check.ts"
import { openFolder, said } from "../run.ts"

openFolder()

const root = join(import.meta.dirname, "../../..")
const page = (name: string) => readFileSync(join(root, name), "utf8")

describe("ruleout help", () => {
  test.each([
    ["language", "compiler/reference/README.md"],
    ["meaning", "compiler/reference/meaning.md"],
    ["codes", "compiler/check/CODES.md"],
    ["case-codes", "compiler/cases/CODES.md"],
    ["handbook", "rulesets/handbook/README.md"],
    ["glossary", "rulesets/handbook/glossary.md"],
    ["ticket-kiosk", "rulesets/ticket-kiosk/ticket-kiosk.ruleout"],
    ["vectors", "test/conformance/README.md"],
    ["changes", "CHANGELOG.md"],
  ])("%s is the page %s", async (topic, file) => {
    expect(await said(["help", topic])).toEqual({ exit: 0, err: "", out: page(file) })
  })

  test("every topic that is listed has a page, and a command has its help", async () => {
    const { out } = await said(["help"])
    const topics = out.split("\n").flatMap((line) => /^ {2}(\S+)$/.exec(line)?.[1] ?? [])
    expect(topics.length).toBeGreaterThan(40)
    expect(new Set(topics).size).toBe(topics.length)
    for (const topic of topics) {
      const about = await said(["help", topic])
      expect(about.exit, topic).toBe(0)
      expect(about.out.length, topic).toBeGreaterThan(100)
    }
    expect((await said(["help", "serve"])).out).toContain("Usage: ruleout serve [options] <graph...>")
  })

  test("every code of a problem has its section", async () => {
    for (const { code } of [...checks, { code: "unknown-name" }, { code: "case-shape" }])
      expect((await said(["help", code])).out).toMatch(new RegExp(`^##+ ${code}\n`))
  })

  test("what nothing is said about is refused, with the nearest topic", async () => {
    expect(await said(["help", "langage"])).toMatchObject({
      exit: 2,
      err: expect.stringContaining("Did you mean `language`?"),
    })
    expect((await said(["help", "zzzzzzzz"])).err).toContain("`ruleout help` lists all topics.")
  })
})
