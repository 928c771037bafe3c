import { spawn } from "node:child_process"
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { main, OBEYED, openFolder, ruleout, said } from "./run.ts"

const { folder, put } = openFolder()

describe("ruleout", () => {
  test("says what there is, with examples", async () => {
    const { exit, out } = ruleout(["--help"])
    expect(exit).toBe(0)
    for (const command of ["check", "format", "compile", "bench", "replay"]) {
      expect(out).toContain(`$ ruleout ${command}`)
      const help = await said([command, "--help"])
      expect(help.exit).toBe(0)
      expect(help.out).toMatch(/Examples:\n {2}\$ ruleout /)
    }
    expect(ruleout(["--version"]).out.trim()).toBe(
      JSON.parse(readFileSync(join(import.meta.dirname, "../../package.json"), "utf8")).version,
    )
  })

  test.each([
    { args: [], says: "Usage: ruleout" },
    { args: ["chek", "x"], says: "unknown command `chek`\n(Did you mean check?)" },
    { args: ["check"], says: "missing required argument `file`" },
    { args: ["check", "x", "--jsn"], says: "(Did you mean --json?)" },
    { args: ["compile", "x", "--gap", "101%"], says: "Give a percentage from 0 to 100." },
    { args: ["compile", "x", "--effort", "1.5"], says: "Give a whole number from 1 on." },
    {
      args: ["format", "a", "b"],
      says: "Add --write to rewrite them, or --check to list those that differ.",
    },
    { args: ["format", "a", "--write", "--check"], says: "Use either --check or --write." },
    { args: ["replay", "-", "-"], says: "Only one of the two can be standard input." },
    { args: ["bench", "-"], says: "Name the graph's file." },
  ])("bad use: $args", async ({ args, says }) => {
    const { exit, out, err } = await said(args)
    expect({ exit, out }).toEqual({ exit: 2, out: "" })
    expect(err).toContain(says)
  })

  test("bad input is said in words, never with a stack", async () => {
    put("latin.ruleout", Uint8Array.from([...Buffer.from('ruleset k "Pr'), 0xfc, ...Buffer.from('fung"')]))
    put("cut.ruleout", Uint8Array.from([...Buffer.from("part p"), 0xe2, 0x82]))
    put("huge.ruleout", new Uint8Array(17 * 1024 * 1024))
    put("cut.graph.json", '{"format":"ruleout-graph/2",\n"nodes":[}')
    put("other.graph.json", '{"format":"ruleout-graph/1"}')
    put("empty.graph.json", "")
    const words: string[] = []
    for (const args of [
      ["check", "missing.ruleout"],
      ["check", "kisok.ruleout"],
      ["check", "nowhere/kiosk.ruleout"],
      ["check", "."],
      ["check", "latin.ruleout"],
      ["check", "cut.ruleout"],
      ["check", "huge.ruleout"],
      ["check", "a\u001b[31m\nb"],
      ["check", "x".repeat(5000)],
      ["format", "kiosk.ruleout/x"],
      ["replay", "cut.graph.json", "-"],
      ["replay", "other.graph.json", "-"],
      ["replay", "empty.graph.json", "-"],
      ["bench", "other.graph.json"],
      ["compile", "seat.ruleout", "-o", "no/such/folder.json"],
      ["compile", "seat.ruleout", "-o", "."],
    ]) {
      const { exit, out, err } = await said(args)
      expect({ exit, out }).toEqual({ exit: 2, out: "" })
      words.push(`${JSON.stringify(args.join(" ")).slice(0, 60)}\n${err}`)
    }
    const all = words.join("\n")
    expect(all).not.toMatch(/\n\s+at |node:|Error|undefined/)
    expect(all).not.toMatch(OBEYED)
    expect(all).toMatchSnapshot()
    expect(ruleout(["check", "missing.ruleout"])).toEqual({
      exit: 2,
      out: "",
      err: words[0]!.split(/\n(.*)/s)[1],
    })
  })

  test("a failure shows where it was when asked to", () => {
    expect(ruleout(["check", "missing"], "", { RULEOUT_DEBUG: "1" }).err).toContain("at ")
  })

  test("ends without a word when nobody reads on", async () => {
    put("long.ruleout", `ruleset b "b"\n${'part p "p" prise 3\n'.repeat(5000)}`)
    const child = spawn(process.execPath, [main, "check", "--json", "long.ruleout"], { cwd: folder })
    let err = ""
    child.stderr.on("data", (text) => {
      err += text
    })
    child.stdout.once("data", () => child.stdout.destroy())
    const exit = await new Promise((resolve) => child.on("close", resolve))
    // What there is to say of the ruleset stands, heard or not.
    expect({ exit, err }).toEqual({ exit: 2, err: "" })
  })
})
