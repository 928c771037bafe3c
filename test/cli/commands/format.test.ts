import { chmodSync, readdirSync, statSync } from "node:fs"
import { describe, expect, test } from "vitest"
import { BROKEN, openFolder, ruleout } from "../run.ts"

const { folder, at, read, put } = openFolder()

describe("format", () => {
  test("prints, checks and rewrites; the same once it is done", () => {
    const ugly = put("ugly.ruleout", read("kiosk.ruleout").replaceAll("\n  ", "\n        "))
    const printed = ruleout(["format", ugly])
    expect(printed.exit).toBe(0)
    expect(ruleout(["format", "-"], read(ugly)).out).toBe(printed.out)
    expect(ruleout(["format", "--check", ugly])).toMatchObject({ exit: 1, out: `Differs: ${ugly}\n` })
    chmodSync(at(ugly), 0o640)
    expect(ruleout(["format", "--write", ugly])).toMatchObject({ exit: 0, out: `Rewritten: ${ugly}\n` })
    expect(read(ugly)).toBe(printed.out)
    expect(statSync(at(ugly)).mode & 0o777).toBe(0o640)
    expect(ruleout(["format", "--check", ugly])).toMatchObject({ exit: 0, out: "" })
    expect(JSON.parse(ruleout(["format", "--check", "--json", ugly]).out)).toEqual({
      files: [{ file: ugly, state: "formatted" }],
    })
    expect(readdirSync(folder).filter((name) => name.endsWith(".tmp"))).toEqual([])
  })

  test("leaves a broken file as it is", () => {
    put("broken.ruleout", BROKEN)
    const { exit, out, err } = ruleout(["format", "--write", "broken.ruleout"])
    expect({ exit, out }).toEqual({ exit: 2, out: "" })
    expect(err).toContain("`broken.ruleout` is left as it is: fix the errors first.")
    expect(read("broken.ruleout")).toBe(BROKEN)
  })
})
