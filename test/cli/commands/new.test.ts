import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { askedFor } from "../../../compiler/cli/commands/new.ts"
import { workflow } from "../../../compiler/cli/commands/skeleton.ts"
import { openFolder, said } from "../run.ts"

const { folder, read, put, removeAllBut } = openFolder()
const files = () => readdirSync(folder, { recursive: true, encoding: "utf8" }).sort()

describe("ruleout new", () => {
  test("writes a ruleset that checks clean, compiles, and whose scenario comes out; its cases; a workflow", async () => {
    removeAllBut()
    const begun = await said([
      "new",
      "radio_mute",
      "--title",
      'Radio: "mute"',
      "--complaint",
      "no \\ sound",
      "--bench",
      "48",
    ])
    expect(begun).toEqual({
      exit: 0,
      err: "",
      out: `Written to rulesets/radio_mute.ruleout
Written to rulesets/radio_mute.cases.jsonl
Written to .github/workflows/rulesets.yml
Next: write your machine into rulesets/radio_mute.ruleout, then \`ruleout check rulesets/radio_mute.ruleout\`.
`,
    })
    const ruleset = "rulesets/radio_mute.ruleout"
    expect(read(ruleset)).toContain('ruleset radio_mute "Radio: \\"mute\\""\n')
    expect(read(ruleset)).toContain("bench 48 per hour")
    expect(read("rulesets/radio_mute.cases.jsonl")).toBe("")
    expect(await said(["check", ruleset, "--plan"])).toMatchObject({ exit: 0, out: "No problems found.\n" })
    expect(await said(["format", ruleset, "--check"])).toMatchObject({ exit: 0 })
    expect((await said(["test", ruleset])).exit).toBe(0)
    expect(await said(["compile", ruleset])).toMatchObject({ exit: 0, err: "" })
  })

  test("overwrites nothing, and writes nothing beside what is there", async () => {
    removeAllBut()
    await said(["new", "fan", "--folder", "shop"])
    put("shop/fan.ruleout", "mine")
    put("shop/kiosk.cases.jsonl", "{}\n")
    const before = files()
    for (const name of ["fan", "kiosk"]) {
      const { exit, err } = await said(["new", name, "--folder", "shop"])
      expect(exit).toBe(2)
      expect(err).toMatch(
        /exists already\.\n {2}help: Choose another name, or another folder with --folder\.\n$/,
      )
    }
    expect(files()).toEqual(before)
    expect(read("shop/fan.ruleout")).toBe("mine")
    expect((await said(["new", "lamp", "--folder", "shop"])).out).toContain(
      ".github/workflows/rulesets.yml is there already, and stays as it is.",
    )
    expect(read(".github/workflows/rulesets.yml")).toBe(workflow("shop"))
  })

  test.each([
    [["Kiosk"], "isn't a name."],
    [["when"], "`when` is a keyword"],
    [["fan", "--money", "coins"], "coins"],
    [["fan", "--bench", "much"], "much"],
    [["fan", "--folder", "my; shop"], "A workflow can't name the folder"],
    [[], "A ruleset needs a name."],
  ])("%j is refused in words, and nothing is written", async (args, says) => {
    removeAllBut()
    const { exit, out, err } = await said(["new", ...args])
    expect({ exit, out, files: files() }).toEqual({ exit: 2, out: "", files: [] })
    expect(err).toContain(says)
  })

  test("asks for what isn't given; an empty answer takes the usual", async () => {
    const answers = ["radio_mute", "no sound", "", "48", ""]
    const questions: string[] = []
    const ask = async (question: string) => {
      questions.push(question)
      return answers.shift()
    }
    expect(await askedFor({ title: "Radio" }, ask)).toEqual({
      name: "radio_mute",
      complaint: "no sound",
      title: "Radio",
      money: "EUR",
      bench: "48",
      folder: "rulesets",
    })
    expect(questions.at(-1)).toBe("Folder [rulesets]: ")
    await expect(askedFor({}, ask)).rejects.toThrow("The answers ended")
  })

  test("the workflow is the one on the page about reviews", () => {
    const page = readFileSync(join(import.meta.dirname, "../../../compiler/reference/reviews.md"), "utf8")
    expect(page).toContain(`\`\`\`yaml\n${workflow("rulesets")}\`\`\``)
  })
})
