import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, describe, expect, test } from "vitest"
import { openFolder, ruleout } from "./run.ts"

const folder = openFolder()

/** The date of the day is in the record; in a snapshot it must not be. */
const undated = (text: string) => text.replace(/B-\d{8}-\d{6}/, "B-DATE").replace(/\d{4}-\d\d-\d\d/, "DATE")
const walk = (args: readonly string[], ...lines: string[]) =>
  ruleout(["bench", ...args], `${lines.join("\n")}\n`)

beforeAll(() => {
  for (const name of ["seat", "kiosk"]) ruleout(["compile", `${name}.ruleout`, "-o", `${name}.graph.json`])
})

describe("a walk at the bench", () => {
  test("does not believe a swap that cures until the old part is back", () => {
    const { exit, out, err } = walk(
      ["seat.graph.json", "--save", "seat.cases.jsonl"],
      "took 12",
      "gone",
      "standing",
      "gone",
      "",
      "yes",
      "yes",
      "seat_loose",
    )
    expect({ exit, err }).toEqual({ exit: 0, err: "" })
    expect(undated(out)).toMatchSnapshot()
    expect(undated(readFileSync(join(folder, "seat.cases.jsonl"), "utf8"))).toBe(
      `${JSON.stringify({
        id: "B-DATE",
        date: "DATE",
        complaint: "dead",
        told: {},
        steps: [
          { test: "try_board", found: "gone", minutes: 12 },
          { putBack: "board", found: "gone" },
        ],
        fault: "seat_loose",
        confirmed: "proof",
        came_back: false,
      })}\n`,
    )
  })

  test("saves by appending, and what it saves can be replayed", () => {
    const before = readFileSync(join(folder, "seat.cases.jsonl"), "utf8")
    walk(
      ["seat.graph.json", "--save", "seat.cases.jsonl", "--id", "K-7"],
      "gone",
      "stays",
      "",
      "y",
      "y",
      "board_dead",
    )
    const after = readFileSync(join(folder, "seat.cases.jsonl"), "utf8")
    expect(after.startsWith(before)).toBe(true)
    expect(after.slice(before.length)).toContain('"id":"K-7"')
    expect(ruleout(["replay", "seat.graph.json", "seat.cases.jsonl"])).toMatchObject({ exit: 0, err: "" })
  })

  test("a verdict that does not wait for the old part says how good it is, and what tells if that can be done", () => {
    const seat = readFileSync(join(folder, "seat.ruleout"), "utf8")
    writeFileSync(join(folder, "dear.ruleout"), seat.replace("takes 10 min  power", "takes 100 min  power"))
    const { out } = walk(["dear.ruleout"], "find try_board gone", "find board stays", "quit")
    const [, cured = "", back = ""] = out.split(/> find .*\n/)
    expect(cured).toContain(
      "! Good enough: 50 %, though it may be another of these. To tell, put the old driver board back, then `find board gone` or `find board stays`.",
    )
    expect(cured).toContain("Verdict:")
    expect(back).toContain("Verdict: Replace: driver board  (fixes it: 100 %)")
    expect(out).not.toContain("Put the old part back to tell")
    const unable = walk(["seat.graph.json"], "gone", "cannot", "quit").out.split("> cannot")[1]
    expect(unable).toContain("! Good enough: 50 %, though it may be another of these.\n")
  })

  test("as JSON: the record alone on standard output, the walk beside it", () => {
    const { exit, out, err } = walk(["seat.ruleout", "--json"], "g", "s", "", "y", "y", "")
    expect(exit).toBe(0)
    expect(JSON.parse(out)).toMatchObject({
      complaint: "dead",
      steps: [{ found: "gone" }, { putBack: "board" }],
    })
    expect(err).toContain("Caution: Charged capacitor")
    expect(err.indexOf("Caution")).toBeLessThan(err.indexOf("Fit the known-good board"))
  })

  test("anything may be asked, left out, found out of turn and taken back", () => {
    const { exit, out } = walk(
      ["kiosk.graph.json"],
      "cannot",
      "find rail 850 mV",
      "why supply_low",
      "undo 2",
      "find rail 24100 mV",
      "why",
      "find glow perhaps",
      "find nothing 3",
      "undo 9",
      "undo",
      "steps",
      "what?",
      "took long",
      "help",
      "quit",
    )
    expect(exit).toBe(0)
    expect(out).toMatchSnapshot()
  })

  test("a decimal comma is read, but none that could part thousands", () => {
    const said = (text: string) => walk(["kiosk.graph.json"], `find rail ${text}`, "steps", "quit").out
    expect(said("24,1 V")).toContain("24.1 V")
    expect(said("24,100 V")).toContain("`24,100 V` is not")
  })

  test("a proof that does not hold is no proof", () => {
    const { out } = walk(["seat.graph.json", "--json"], "gone", "stays", "", "yes", "no", "board_dead")
    expect(JSON.parse(out)).not.toHaveProperty("confirmed")
  })

  test("input that ends too early saves nothing", () => {
    const { exit, out } = walk(["seat.graph.json", "--save", "early.jsonl"], "gone")
    expect(exit).toBe(1)
    expect(out).toContain("The input ended before the job did; nothing is saved.")
    expect(() => readFileSync(join(folder, "early.jsonl"))).toThrow()
  })
})
