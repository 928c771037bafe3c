import { beforeAll, describe, expect, test } from "vitest"
import { OBEYED, openFolder, ruleout, said } from "../run.ts"

const { put } = openFolder()

beforeAll(() => said(["compile", "seat.ruleout"]))

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
    expect(`${out}${err}`).not.toMatch(OBEYED)
  })
})
