import { mkdirSync } from "node:fs"
import { describe, expect, test } from "vitest"
import { BROKEN, OBEYED, openFolder, ruleout } from "../run.ts"

const { at, read, put } = openFolder()

describe("check", () => {
  test("0 where nothing is found, 1 where there is a warning, 2 where there is an error, with the line", () => {
    expect(ruleout(["check", "seat.ruleout"])).toEqual({ exit: 0, out: "No problems found.\n", err: "" })
    expect(ruleout(["check", "kiosk.ruleout"])).toMatchObject({ exit: 1, err: "" })
    const { exit, out } = ruleout(["check", "-"], BROKEN)
    expect(exit).toBe(2)
    expect(out).toContain("`prise` isn't a keyword; `price` is.")
    expect(out).toMatch(/-:2:12\n/)
  })

  test("--fix writes what has one meaning in the language's own way, and says what it left", () => {
    const own = read("seat.ruleout")
    const written = own.replace(/odds 1\b/, "odds 1,0").replace(/swaps/, "SWAPS")
    expect(written).not.toBe(own)
    put("spoken.ruleout", `${written}\nfault late "late" in s odds 12,500\n`)
    const { out } = ruleout(["check", "--fix", "spoken.ruleout"])
    expect(out).toContain("spoken.ruleout: Write `1.0`. `1,0` has a comma.\n")
    expect(out).toContain("1 edit left to you, since it may change what the ruleset means; see below.\n")
    expect(out).toContain("It can be 12.500 or 12500")
    expect(read("spoken.ruleout")).toContain("odds 1.0")
    expect(read("spoken.ruleout")).toContain("swaps")
    expect(read("spoken.ruleout")).toContain("odds 12,500")
  })

  test("findings that no rule speaks of are reported when they are asked for", () => {
    put(
      "gappy.ruleout",
      `${read("seat.ruleout")}
reading hum "Does it hum?" yes or no
test hear "Listen" reads hum takes 1 min
when hum is yes rule out board_dead 50%
`.replace(/fault board_dead.*/, "$&\n  shows hum is no 90%"),
    )
    const gaps = (...flags: string[]) =>
      JSON.parse(ruleout(["check", "gappy.ruleout", "--json", ...flags]).out).findings.filter(
        ({ code }: { code: string }) => code === "gap-in-rules",
      )
    expect(gaps()).toEqual([])
    expect(gaps("--gaps").length).toBeGreaterThan(0)
    expect(gaps("--gaps", "--plan")).toEqual(gaps("--gaps"))
  })

  test("several files, each finding once, as JSON too", () => {
    put("b.ruleout", BROKEN)
    const { exit, out } = ruleout(["check", "seat.ruleout", "b.ruleout", "b.ruleout", "--json"])
    const { findings, errors } = JSON.parse(out)
    expect(exit).toBe(2)
    expect(errors).toBeGreaterThan(0)
    expect(errors).toBe(findings.filter((each: { severity: string }) => each.severity === "error").length)
    expect(new Set(findings.map((each: object) => JSON.stringify(each))).size).toBe(findings.length)
  })

  test("used files are found from the ruleset's folder", () => {
    mkdirSync(at("shop/shared"), { recursive: true })
    put(
      "shop/lamp.ruleout",
      `use "shared/board.ruleout"\nuse "shared/none.ruleout"\n${read("kiosk.ruleout")}`,
    )
    put("shop/shared/board.ruleout", 'part fuse "fuse"\nfault fuse_blown "fuse blown" in fuse odds 1\n')
    const { out } = ruleout(["check", "shop/lamp.ruleout"])
    expect(out).toContain("shared/none.ruleout")
    expect(out).not.toContain("board.ruleout` isn't there")
  })

  test("colours: on a terminal, or where they are forced, unless they are not wanted", () => {
    const has = (env: NodeJS.ProcessEnv) => ruleout(["check", "-"], BROKEN, env).out.includes("\u001b[")
    expect(
      [{}, { FORCE_COLOR: "1" }, { FORCE_COLOR: "0" }, { FORCE_COLOR: "1", NO_COLOR: "1" }].map(has),
    ).toEqual([false, true, false, false])
  })

  test("nothing that a terminal obeys gets through", () => {
    const nasty = 'ruleset k "a\u001b]0;owned\u0007\u009b2J\u202e"\npart \u001b[2J "x"\n'
    for (const args of [
      ["check", "-"],
      ["check", "-", "--json"],
      ["format", "-"],
    ]) {
      const { out, err } = ruleout(args, nasty)
      expect(`${out}${err}`).not.toMatch(OBEYED)
    }
  })
})
