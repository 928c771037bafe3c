import { spawn } from "node:child_process"
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { main, openFolder, ruleout, said } from "./run.ts"

const folder = openFolder()
const at = (name: string) => join(folder, name)
const put = (name: string, text: string | Uint8Array) => {
  writeFileSync(at(name), text)
  return name
}
const read = (name: string) => readFileSync(at(name), "utf8")
/** Line breaks aside, what a terminal would obey. */
const obeyed = /[^\P{Cc}\n]|\u202e/u
const broken = `ruleset b "b"\npart p "p" prise 3\n`

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
    expect(all).not.toMatch(obeyed)
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

describe("check", () => {
  test("0 where nothing is found, 1 where there is a warning, 2 where there is an error, with the line", () => {
    expect(ruleout(["check", "seat.ruleout"])).toEqual({ exit: 0, out: "No problems found.\n", err: "" })
    expect(ruleout(["check", "kiosk.ruleout"])).toMatchObject({ exit: 1, err: "" })
    const { exit, out } = ruleout(["check", "-"], broken)
    expect(exit).toBe(2)
    expect(out).toContain("`prise` isn't a keyword; `price` is.")
    expect(out).toMatch(/-:2:12\n/)
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
    put("b.ruleout", broken)
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
    expect(out).not.toContain("board.ruleout` is not there")
  })

  test("colours: on a terminal, or where they are forced, unless they are not wanted", () => {
    const has = (env: NodeJS.ProcessEnv) => ruleout(["check", "-"], broken, env).out.includes("\u001b[")
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
      expect(`${out}${err}`).not.toMatch(obeyed)
    }
  })
})

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
    put("broken.ruleout", broken)
    const { exit, out, err } = ruleout(["format", "--write", "broken.ruleout"])
    expect({ exit, out }).toEqual({ exit: 2, out: "" })
    expect(err).toContain("`broken.ruleout` is left as it is: fix the errors first.")
    expect(read("broken.ruleout")).toBe(broken)
  })
})

describe("compile", () => {
  test("writes the graph and prints what it costs: the figures worked by hand", () => {
    const { exit, out, err } = ruleout(["compile", "seat.ruleout"])
    expect({ exit, err }).toEqual({ exit: 0, err: "" })
    const size = `${statSync(at("seat_or_board.graph.json")).size.toLocaleString("en")} bytes`
    expect(out.replace(/ {2,}/g, "  ")).toBe(
      [
        "Lamp driver: dead (seat_or_board 0.0.0), per job:",
        // try_board and put back 20, a new board in every other job (100 + 10), the proof run 2.
        "  expected cost  77.00 EUR",
        "  tests  20.00 EUR",
        "  parts  50.00 EUR",
        "  fitting and fixing  5.00 EUR",
        "  proof run  2.00 EUR",
        // A board known to be bad: 110 + 2; a seat: try_board and put back 20 + 2.
        "  unavoidable, if the fault were known  67.00 EUR",
        "  price of not knowing  10.00 EUR",
        "  minutes of work  27.0",
        "  steps  3.5",
        "  comes back  0.0 %",
        "  handed over  0.0 %",
        "  parts bought in vain  0.00 EUR",
        "  nodes  4",
        `  size  ${size}`,
        "Proved: no plan costs less.",
        "Written to seat_or_board.graph.json",
        "",
      ].join("\n"),
    )
  })

  test("the same bytes again, to a file, to standard output, and from standard input", () => {
    const before = read("seat_or_board.graph.json")
    expect(ruleout(["compile", "seat.ruleout"]).exit).toBe(0)
    expect(read("seat_or_board.graph.json")).toBe(before)
    const piped = ruleout(["compile", "-", "--out", "-"], read("seat.ruleout"))
    expect(piped.out).toBe(before)
    expect(piped.err).toContain("expected cost")
  })

  test("as JSON", () => {
    const { file, expected, proof, notKnowing, nodes, bytes, errors } = JSON.parse(
      ruleout(["compile", "seat.ruleout", "--json", "-o", "j.graph.json"]).out,
    )
    expect({ file, total: expected.total, notKnowing, gap: proof.gap, nodes, errors }).toEqual({
      file: "j.graph.json",
      total: 77,
      notKnowing: { price: 10, gap: 0 },
      gap: 0,
      nodes: 4,
      errors: 0,
    })
    expect(bytes).toBe(statSync(at("j.graph.json")).size)
  })

  test("overwrites nothing but a graph of the same ruleset, unless forced", () => {
    put("notes.txt", "do not lose me")
    const notes = ruleout(["compile", "seat.ruleout", "-o", "notes.txt"])
    expect(notes.exit).toBe(2)
    expect(notes.err).toContain("`notes.txt` exists already and is not a graph.")
    const other = ruleout(["compile", "kiosk.ruleout", "--effort", "5", "-o", "seat_or_board.graph.json"])
    expect(other.exit).toBe(2)
    expect(other.err).toContain("is a graph of `seat_or_board`")
    expect(read("notes.txt")).toBe("do not lose me")
    expect(ruleout(["compile", "seat.ruleout", "-o", "notes.txt", "--force"]).exit).toBe(0)
    expect(JSON.parse(read("notes.txt")).format).toBe("ruleout-graph/2")
  })

  test("a graph of an older format of the same ruleset makes way for the new one", () => {
    put("old.graph.json", read("seat_or_board.graph.json").replace("ruleout-graph/2", "ruleout-graph/1"))
    expect(ruleout(["compile", "seat.ruleout", "-o", "old.graph.json"]).exit).toBe(0)
    expect(JSON.parse(read("old.graph.json")).format).toBe("ruleout-graph/2")
  })

  test("what if: what a job costs then, and what changes of the price of not knowing and the work", () => {
    const { out } = ruleout([
      "compile",
      "seat.ruleout",
      "--what-if",
      "part board price 50",
      "--what-if",
      "test try_board takes 5 min",
    ])
    const said = out.slice(out.indexOf("What if:"))
    expect(said).toContain("  part board price 50: 52 EUR a job, 25 EUR less\n")
    expect(said).toMatch(
      /test try_board takes 5 min: 6[\d.]+ EUR a job, [\d.]+ EUR less\n {4}.*work [\d.]+ min less/,
    )
  })

  test("worlds: what becomes of jobs where the ruleset is wrong, as a table, the same each time", async () => {
    const command = ["compile", "seat.ruleout", "--worlds", "200"]
    const { exit, out } = await said(command)
    expect(exit).toBe(0)
    expect(out.slice(out.indexOf("If the world"))).toMatchSnapshot()
    expect((await said(command)).out).toBe(out)
  })

  test("worlds: as JSON, of a thousand jobs where no number is given", async () => {
    const { out } = await said(["compile", "seat.ruleout", "--worlds", "--json"])
    const { worlds, expected } = JSON.parse(out)
    expect(worlds).toHaveLength(6)
    const [{ world, jobs, total, deadEnds }] = worlds
    expect({ world, jobs, deadEnds }).toEqual({ world: "as written", jobs: 1000, deadEnds: 0 })
    expect(Math.abs(total.mean - expected.total)).toBeLessThan(4 * total.error)
  })

  test("worlds: anything but a number of jobs is refused, the ruleset among them", async () => {
    for (const words of [["0"], ["1.5"], ["many"]]) {
      const { exit, err } = await said(["compile", "seat.ruleout", "--worlds", ...words])
      expect(exit).toBe(2)
      expect(err).toContain("Give a whole number from 1 on")
    }
    expect((await said(["compile", "--worlds", "seat.ruleout"])).err).toContain("the ruleset comes before it")
  })

  test("with errors writes nothing", () => {
    put("broken.ruleout", broken)
    const { exit, out, err } = ruleout(["compile", "broken.ruleout"])
    expect({ exit, out }).toEqual({ exit: 2, out: "" })
    expect(err).toContain("`prise`")
    expect(existsSync(at("b.graph.json"))).toBe(false)
    expect(JSON.parse(ruleout(["compile", "broken.ruleout", "--json"]).out).errors).toBeGreaterThan(0)
  })
})

describe("replay", () => {
  const cases = [
    { id: "K-1", steps: [{ test: "try_board", found: "gone", minutes: 12 }], fault: "seat_loose" },
    {
      id: "K-2",
      steps: [{ test: "try_board", found: "gone", minutes: 9 }],
      fault: "board_dead",
      came_back: true,
    },
  ].map((each) => JSON.stringify(each))

  test("a report of a ruleset or its graph, from a file or standard input", () => {
    put("jobs.cases.jsonl", `${cases.join("\r\n")}\r\n`)
    const { exit, out, err } = ruleout(["replay", "seat.ruleout", "jobs.cases.jsonl"])
    expect({ exit, err }).toEqual({ exit: 0, err: "" })
    expect(out).toMatchSnapshot()
    expect(ruleout(["replay", "seat_or_board.graph.json", "-"], cases.join("\n")).out).toBe(out)
    expect(JSON.parse(ruleout(["replay", "seat.ruleout", "jobs.cases.jsonl", "--json"]).out)).toMatchObject({
      findings: [],
      report: { cases: 2, cameBack: 1 },
    })
  })

  test("a bad line is said at its place and spoils no other", () => {
    const { exit, out, err } = ruleout(
      ["replay", "seat_or_board.graph.json", "-"],
      `${cases[0]}\n{"id":"K-9",\n${cases[1]}`,
    )
    expect(exit).toBe(2)
    expect(out).toContain("2 cases walked through seat_or_board")
    expect(err).toContain('Not valid JSON: expected a name in `"`, but the line ends.')
    expect(err).toContain("-:2:13")
  })

  test("what is in the cases never reaches the terminal raw", () => {
    const nasty = JSON.stringify({ id: "\u001b[2J\u0007", steps: [], fault: "\u009b31m", came_back: true })
    const { out, err } = ruleout(["replay", "seat_or_board.graph.json", "-"], nasty)
    expect(out).toContain("<U+001B>[2J<U+0007>")
    expect(`${out}${err}`).not.toMatch(obeyed)
  })
})
