import { existsSync, statSync } from "node:fs"
import { describe, expect, test } from "vitest"
import { BROKEN, openFolder, ruleout, said } from "../run.ts"

const { at, read, put } = openFolder()

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

  test("a graph in the ruleset's place is named as one", () => {
    ruleout(["compile", "seat.ruleout", "--out", "named.graph.json"])
    for (const command of ["compile", "check"]) {
      const { exit, err } = ruleout([command, "named.graph.json"])
      expect(exit).toBe(2)
      expect(err).toBe(
        "ruleout: `named.graph.json` is a compiled graph, not a ruleset.\n  help: Name the ruleset that it was compiled from. `bench`, `replay` and `ship` take a graph.\n",
      )
    }
  })

  test("with errors writes nothing", () => {
    put("broken.ruleout", BROKEN)
    const { exit, out, err } = ruleout(["compile", "broken.ruleout"])
    expect({ exit, out }).toEqual({ exit: 2, out: "" })
    expect(err).toContain("`prise`")
    expect(existsSync(at("b.graph.json"))).toBe(false)
    expect(JSON.parse(ruleout(["compile", "broken.ruleout", "--json"]).out).errors).toBeGreaterThan(0)
  })
})
