import { existsSync, readFileSync } from "node:fs"
import { beforeAll, describe, expect, test } from "vitest"
import { openFolder, ruleout, said } from "../run.ts"
import { TWO_PLUGS } from "../two-plugs.ts"

const { at, read, put } = openFolder()

/** The date of the day is in the record; in a snapshot it must not be. */
const undated = (text: string) => text.replace(/B-\d{8}-\d{6}/, "B-DATE").replace(/\d{4}-\d\d-\d\d/, "DATE")
const walk = (args: readonly string[], ...lines: string[]) =>
  ruleout(["bench", ...args], `${lines.join("\n")}\n`)
const records = (name: string) =>
  read(name)
    .split("\n")
    .filter(Boolean)
    .map((line) => JSON.parse(line))

/** No repair in place, so that a good board must go in to tell the board from its seat. */
const swaps = `ruleset seat_or_board "Lamp driver: dead"
  money EUR
  bench 60 per hour
  comeback costs 50
  handover costs 1000
part board "driver board" price 100 spare
setup seat "board seating" of board
complaint dead "the lamp stays dark"
fault board_dead "board failed"   in board odds 1
fault seat_loose "board not home" in seat  odds 1  fix takes 200 min
test try_board "Fit the known-good board" swaps board  takes 10 min  power off  needs "wrist strap"
  caution "Charged capacitor: wait five minutes after unplugging, then measure that it is empty."
proof "Start it cold" times 2 takes 1 min
`

/** What comes and goes, and isn't always cured: a proof run can fail. */
const flaky = `ruleset flaky_plug "Pump: stops"
  money EUR
  bench 60 per hour
  comeback costs 50
  handover costs 100
setup plug "mains plug" redo cures 70%
complaint stops "the pump stops"
fault plug_loose "plug loose" in plug odds 1
  shows stops 40%
test push_plug "Push the plug home" redoes plug takes 1 min
proof "Let it run" times 3 takes 5 min
`

beforeAll(() => {
  put("swaps.ruleout", swaps)
  put("pair.ruleout", TWO_PLUGS)
  put("flaky.ruleout", flaky)
  for (const name of ["swaps", "pair", "flaky"])
    ruleout(["compile", `${name}.ruleout`, "-o", `${name}.graph.json`])
}, 60_000)

describe("a job at the bench", () => {
  test("a swap that cures is not believed until the old part is back; the job closes with its proof run", () => {
    const { exit, out, err } = walk(
      ["swaps.graph.json", "--save", "swaps.cases.jsonl"],
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
    expect(out).toContain("Put the old part back: driver board")
    expect(out).toContain("The machine passed its proof run: the job is done.")
    expect(undated(out)).toMatchSnapshot()
    expect(undated(read("swaps.cases.jsonl"))).toBe(
      `${JSON.stringify({
        id: "B-DATE",
        date: "DATE",
        complaint: "dead",
        told: {},
        steps: [
          { test: "try_board", found: "gone", minutes: 12 },
          { putBack: "board", found: "gone" },
          { close: true, found: "holds" },
        ],
        faults: ["seat_loose"],
        confirmed: "proof",
        came_back: false,
      })}\n`,
    )
  })

  test("a part that is bought is said with its price, and the old one is not put back first", () => {
    const { out } = walk(
      ["swaps.graph.json", "--save", "bought.jsonl", "--id", "K-7"],
      "gone",
      "stays",
      "g",
      "",
      "y",
      "y",
      "board_dead",
    )
    expect(out).toContain("Replace: driver board")
    expect(out).toMatch(/of which the part 100 EUR/)
    expect(records("bought.jsonl")[0]).toMatchObject({
      id: "K-7",
      steps: [{ test: "try_board" }, { putBack: "board" }, { replace: "board" }, { close: true }],
    })
    expect(ruleout(["replay", "swaps.graph.json", "bought.jsonl"])).toMatchObject({ exit: 0, err: "" })
  })

  test("a failed proof run goes on with the job", () => {
    const { exit, out } = walk(
      ["flaky.graph.json"],
      "find push_plug gone",
      "find proof run fails",
      "standing",
      "find push_plug gone",
      "find proof run holds",
      "plug_loose",
    )
    expect(exit).toBe(0)
    const [before = "", after = ""] = out.split("The proof run failed: the job goes on.")
    expect(before).toContain("Step 2")
    expect(after).toMatch(/Step 3 {2}(?!proof run)/)
    expect(after).toContain("the complaint: stays")
    expect(after).toContain("The machine passed its proof run: the job is done.")
  })

  test("two faults become likely, with the findings that speak for it; both are repaired and the job closes", () => {
    const { exit, out } = walk(
      ["pair.graph.json", "--save", "pair.jsonl"],
      "find left_lamp no",
      "find right_lamp no",
      "candidates",
      "find push_left stays",
      "find push_right gone",
      "find proof run holds",
      "left_loose right_loose",
    )
    expect(exit).toBe(0)
    const [first = "", second = ""] = out.split("> find right_lamp no\n")
    expect(first).not.toContain("Two faults")
    expect(second).toMatch(
      /! Two faults at once have become likely: 9\d(\.\d)? %\. One repair may not be enough/,
    )
    expect(second).toMatch(/What speaks for it:\n( {6}step \d, \w+_lamp: no\n)+/)
    expect(second).toContain("left_loose and right_loose together")
    expect(second.split("Two faults at once").length).toBe(2)
    expect(records("pair.jsonl")[0].faults).toEqual(["left_loose", "right_loose"])
  })

  test("why says what ruled a fault out, and what would bring it back", () => {
    const { out } = walk(
      ["swaps.graph.json"],
      "gone",
      "stays",
      "why board_dead",
      "why seat_loose",
      "why nothing",
      "quit",
    )
    expect(out).toContain("board_dead: not ruled out, 100 %")
    expect(out).toContain("seat_loose: ruled out in step 2, the complaint would not stay")
    expect(out).toContain(
      "It would be back if one of these were wrong:\n    step 1, try_board: complaint gone\n    step 2, put back board: complaint stays",
    )
    expect(out).toContain("There is no fault `nothing`.")
  })
})

describe("a job that does not end here", () => {
  test("is kept in a file as it goes, and goes on from there", () => {
    const { exit, out } = walk(["swaps.graph.json", "--job", "b.job.json"], "gone")
    expect(exit).toBe(1)
    expect(out).toContain("The input ended before the job did; the job is kept in `b.job.json`.")
    const on = walk(["swaps.graph.json", "--job", "b.job.json"], "gone", "", "y", "y", "")
    expect(on.out).toContain("The job goes on after 1 step; steps lists them.")
    expect(on.out).toContain("the job is done")
    expect(existsSync(at("b.job.json"))).toBe(false)
  })

  test("a file that is not a job of the ruleset is refused and left alone", () => {
    put("other.json", '{"format":"ruleout-job/1","ruleset":"other","log":[]}')
    const { exit, err } = walk(["swaps.graph.json", "--job", "other.json"], "gone")
    expect(exit).toBe(2)
    expect(err).toContain("`other.json` isn't a job of `seat_or_board`.")
    expect(read("other.json")).toContain('"other"')
  })

  test("a machine that comes back starts from the record of its first job", () => {
    walk(["pair.graph.json", "--save", "back.jsonl", "--id", "K-1"], "gone", "", "left_loose")
    const { exit, out } = walk(
      ["pair.graph.json", "--from", "back.jsonl", "--record", "K-1"],
      "candidates",
      "quit",
    )
    expect(exit).toBe(0)
    expect(out).toMatch(/The job goes on after \d steps; steps lists them\./)
    expect(out).toContain("right_loose")
    const none = walk(["pair.graph.json", "--from", "back.jsonl", "--record", "K-2"])
    expect(none).toMatchObject({ exit: 2 })
    expect(none.err).toContain("`back.jsonl` has no job with the id `K-2`.")
  })

  test("input that ends too early saves no record, and keeps the job", () => {
    const { exit, out } = walk(["swaps.graph.json", "--save", "early.jsonl"], "gone")
    expect(exit).toBe(1)
    expect(out).toContain("The input ended before the job did; the job is kept in `seat_or_board")
    expect(() => readFileSync(at("early.jsonl"))).toThrow()
  })
})

describe("what can be typed", () => {
  test("as JSON: the record alone on standard output, the dialog beside it", () => {
    const { exit, out, err } = walk(["swaps.ruleout", "--json"], "g", "g", "", "y", "y", "")
    expect(exit).toBe(0)
    expect(JSON.parse(out)).toMatchObject({
      complaint: "dead",
      steps: [{ found: "gone" }, { putBack: "board" }, { close: true, found: "holds" }],
    })
    expect(JSON.parse(out)).not.toHaveProperty("faults")
    expect(err).toContain("Caution: Charged capacitor")
    expect(err.indexOf("Caution")).toBeLessThan(err.indexOf("Fit the known-good board"))
  })

  test("a reading that is worked out asks for its numbers, shows the result, and keeps both on record", () => {
    const metered = `ruleset lead_or_lamp "Lamp: dead"
  money EUR
  bench 60 per hour
  handover costs 1000
part lead "lead" price 80
part lamp "lamp" price 80
complaint dead "the lamp stays dark"
fault lead_corroded "lead corroded" in lead odds 1 shows drop above 3 V
fault lamp_dead "lamp failed" in lamp odds 1
reading drop "Drop along the lead" in V from 0 to 30 by 0.1 normally below 3 V 95%
  takes near "At the supply" in V, far "At the lamp" in mV gives near - far
test meter_drop "Meter both ends" reads drop takes 1 min
proof "Start it cold" times 2 takes 1 min
`
    put("drop.ruleout", metered)
    const { out } = walk(
      ["drop.ruleout", "--job", at("drop.job.json")],
      "12,1",
      "7 900",
      "find drop 24,1 V",
      "quit",
    )
    expect(out).toContain("drop is 4.2 V.")
    expect(read("drop.job.json")).toContain(
      '"said":["4.2 V"],"taken":{"drop":{"near":"12.1 V","far":"7900 mV"}}',
    )
    expect(read("drop.job.json")).toContain('"act":{"reading":"drop"},"found":[2],"said":["24.1 V"]')
  })

  test("capitals make no difference, in an answer to the step as in a finding out of turn", () => {
    const { out } = walk(["swaps.graph.json"], "FIND Try_Board STAYS Left In", "steps", "quit")
    expect(out).toContain("step 1, try_board: complaint stays, known-good part left in")
  })

  test("anything can be asked, left out, found out of turn and taken back", () => {
    const { exit, out } = walk(
      ["swaps.graph.json"],
      "cannot",
      "find try_board stays left in",
      "standing",
      "find keep board",
      "undo 2",
      "find put back board gone",
      "find proof run fails",
      "find nothing 3",
      "find try_board perhaps",
      "find try_board",
      "undo 9",
      "undo",
      "steps",
      "outlook",
      "candidates",
      "what?",
      "took long",
      "help",
      "quit",
    )
    expect(exit).toBe(0)
    // Jobs of other tests may be kept there too.
    expect(out.replace(/seat_or_board(-\d+)?\.job/, "seat_or_board.job")).toMatchSnapshot()
  })

  test("numbers are read as people write them, and asked about where they can be two", () => {
    const metered = swaps.replace(
      "test try_board",
      'reading rail "Rail" in V from 0 to 30 by 0.1\nreading coil "Coil" in ohm from 0 to 9000 by 0.1\nreading blinks "Blinks" in count from 0 to 9 by 1\ntest try_board',
    )
    put("metered.ruleout", metered)
    const said = (text: string) => walk(["metered.ruleout"], `find ${text}`, "steps", "quit").out
    expect(said("rail 24,1 V")).toContain("rail: 24.1 V")
    expect(said("rail 24 100 mV")).toContain("rail: 24.1 V")
    expect(said("coil 4k7")).toContain("coil: 4700 ohm")
    expect(said("coil 0R22")).toContain("coil: 0.22 ohm")
    expect(said("blinks 3")).toMatch(/blinks: 3$/m)
    expect(said("rail 24,100 V")).toContain(
      "`24,100` can be read as 24.100 or as 24100: write `24.100` or `24100`.",
    )
  })
})

test("a graph of the first format is refused with what to do", () => {
  const text = read("pair.graph.json")
  put("old.graph.json", text.replace("ruleout-graph/2", "ruleout-graph/1"))
  const { exit, err } = walk(["old.graph.json"])
  expect(exit).toBe(2)
  expect(err).toContain("compile it again")
  expect(err).toContain("If you have the ruleset, name it instead of the graph.")
})

describe("what the owner wants to pay", { timeout: 120_000 }, () => {
  const saved = () => JSON.parse(read("owner.jsonl").trimEnd().split("\n").at(-1)!)

  test("is kept, warned of before it is passed, and an end of its own", () => {
    const args = ["kiosk.ruleout", "--effort", "300", "--save", "owner.jsonl", "--owner-stops-at", "30"]
    const { out, exit } = walk(args, "outlook", "not worth repairing", "")
    expect(exit).toBe(0)
    expect(out).toMatch(/! The bill (is expected to|may) pass 30 EUR, at which the owner stops/)
    expect(out).toMatch(
      /the owner's bill: 0 EUR so far, about \d+ EUR in the end, nine in ten at most \d+ EUR/,
    )
    expect(saved()).toMatchObject({
      owner_stops_at: 30,
      not_worth_repairing: true,
      steps: [{ handOver: true, found: "done" }],
    })
    const replayed = ruleout(["replay", "kiosk.ruleout", "owner.jsonl", "--effort", "300"])
    expect(replayed.err).toBe("")
    expect(replayed.out).toContain("1 case ended because it wasn't worth repairing: the owner stopped.")
  })

  test("may be said on the way, goes on with the job, and is printed for the owner", async () => {
    walk(
      ["kiosk.ruleout", "--effort", "300", "--job", "k.job.json"],
      "owner stops at 45,50",
      "find glow no",
      "quit",
    )
    expect(JSON.parse(read("k.job.json")).terms).toEqual({ ownerStopsAt: 45.5 })
    const sheet = ["sheet", "owner", "kiosk.ruleout", "--effort", "300", "--job", "k.job.json"]
    expect((await said([...sheet, "-o", "owner.html"])).exit).toBe(0)
    expect(read("owner.html")).toContain("45.50 EUR, at which you wanted to stop")
    expect((await said([...sheet, "-o", "owner.html"])).exit).toBe(2)
    const { out } = walk(["kiosk.ruleout", "--effort", "300", "--job", "k.job.json"], "outlook", "quit")
    expect(out).toContain("at which the owner stops")
  })

  test("is an amount", async () => {
    for (const [args, says] of [
      [["bench", "kiosk.ruleout", "--owner-stops-at", "much"], "`much` is no amount."],
      [["sheet", "bill", "kiosk.ruleout"], "There is no sheet `bill`."],
      [["sheet", "owner", "kiosk.ruleout", "--job", "none.job.json"], "There is no job in `none.job.json`."],
      [["sheet", "owner", "kiosk.ruleout", "--record", "K-7"], "--record picks a job of a file of cases."],
    ] as const)
      expect(await said([...args])).toMatchObject({ exit: 2, err: expect.stringContaining(says) })
    expect(walk(["kiosk.ruleout", "--effort", "300"], "owner stops at much", "quit").out).toContain(
      "At how much?",
    )
  })
})
