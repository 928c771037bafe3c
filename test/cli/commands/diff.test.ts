import { describe, expect, test } from "vitest"
import { openFolder, said } from "../run.ts"

const { read, put } = openFolder()
const scenario = 'scenario "Board first"\n  expects next try_board\n'
const old = put("old.ruleout", `${read("seat.ruleout")}${scenario}`)
const fresh = put(
  "new.ruleout",
  `${read("old.ruleout")
    .replace("odds 1  fix takes 200 min", "odds 3  fix takes 200 min")
    .replace("price 100  spare", "price 120  spare")}
test reseat "Push the board home" redoes seat takes 2 min
  caution "Charged capacitor: wait five minutes after unplugging, then measure that it is empty."
`,
)

describe("ruleout diff", () => {
  test("the same ruleset in other words: nothing changes", async () => {
    const spaced = put("spaced.ruleout", `# Another comment.\n${read("old.ruleout").replaceAll("  ", "   ")}`)
    expect(await said(["diff", old, spaced])).toEqual({ exit: 0, err: "", out: "Nothing changes.\n" })
  })

  test("costs, declarations, chances, the plan and scenarios, in words", async () => {
    const { out, exit, err } = await said(["diff", old, fresh])
    expect({ exit, err }).toEqual({ exit: 1, err: "" })
    expect(out).toMatchInlineSnapshot(`
      "Figures
        expected cost of a job: 77 EUR -> 36.5 EUR
        tests: 20 EUR -> 4.5 EUR
        parts: 50 EUR -> 30 EUR
        fitting and fixing: 5 EUR -> 0 EUR
        minutes of work: 27 -> 6.5
        steps: 3.5 -> 2.5
        unavoidable, if the fault were known: 67 EUR -> 36 EUR

      Declared
        place board: changed
        fault seat_loose: changed
        test reseat: added

      Chances at intake, by the odds
        board_dead: 50 % -> 25 %
        seat_loose: 50 % -> 75 %

      Plan: 0.0 % of jobs go the same way
        at first: try_board -> reseat (100 % of jobs)

      Scenarios
        Board first: as expected -> not as expected
      "
    `)
  })

  test("as Markdown for the page of a change, and as JSON", async () => {
    const { out } = await said(["diff", old, fresh, "--format", "markdown"])
    expect(out).toContain("### Scenarios\n\n- Board first: as expected → not as expected\n")
    expect(out).toContain("- test reseat: added\n")
    const json = JSON.parse((await said(["diff", old, fresh, "--format", "json"])).out)
    expect(json.scenarios).toEqual([{ text: "Board first", before: "as expected", now: "not as expected" }])
    expect(json.difference.declared).toContainEqual({ kind: "test", name: "reseat", change: "added" })
    expect(json.difference.chances).toContainEqual({ name: "board_dead", old: 0.5, fresh: 0.25 })
  })

  test("a graph beside a ruleset; what can't be read ends with 2", async () => {
    await said(["compile", old, "-o", "old.graph.json"])
    expect((await said(["diff", "old.graph.json", old])).out).toBe("Nothing changes.\n")
    expect((await said(["diff", "old.graph.json", fresh])).exit).toBe(1)
    expect((await said(["diff", old, "none.ruleout"])).exit).toBe(2)
    const broken = await said(["diff", old, put("broken.ruleout", "fault x")])
    expect(broken.exit).toBe(2)
    expect(broken.err).toContain("error:")
  })
})
