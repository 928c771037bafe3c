import { describe, expect, test } from "vitest"
import { graphWithoutPlan } from "../../../compiler/cases/fit/fit.ts"
import { readCase } from "../../../compiler/cases/record/read.ts"
import { columnsOf, roleText } from "../../../compiler/cases/table/columns.ts"
import { columnMapping, readRow, rowLine } from "../../../compiler/cases/table/read-row.ts"
import { compile } from "../../../compiler/compile.ts"
import { KIOSK_DARK } from "../../support/kiosk.ts"

const { model } = compile("kiosk.ruleout", () => KIOSK_DARK, { effort: 1 })
const graph = graphWithoutPlan(model!)

const header = [
  "Job ID",
  "Date",
  "Rail [mV]",
  "glow",
  "Was the kiosk moved just before?",
  "try_panel",
  "put back panel",
  "minutes meter_rail",
  "fault",
  "Came back",
  "owner",
]
const mapping = columnMapping(header, graph)
const read = (...cells: string[]) => readRow(mapping, cells, 5, graph)

describe("columns are told by their headers", () => {
  test("names, questions, units, minutes, putting back", () => {
    expect(mapping.columns.map(({ letter, role }) => [letter, role])).toEqual([
      ["A", { is: "id" }],
      ["B", { is: "date" }],
      ["C", { is: "reading", reading: 2, unit: "mV" }],
      ["D", { is: "reading", reading: 1 }],
      ["E", { is: "reading", reading: 0 }],
      ["F", { is: "look", test: 3 }],
      ["G", { is: "put back", part: "panel" }],
      ["H", { is: "minutes", test: 1 }],
      ["I", { is: "fault" }],
      ["J", { is: "came_back" }],
      ["K", { is: "nothing" }],
    ])
  })

  test.each([
    ["rail (V)", { is: "reading", reading: 2, unit: "V" }],
    ["rail in mV", { is: "reading", reading: 2, unit: "mV" }],
    ["rail (A)", { is: "nothing", why: "`A` does not measure what `V` does" }],
    ["glow (V)", { is: "nothing", why: "`glow` has no unit" }],
    ["ral", { is: "nothing", why: "did you mean `rail`?" }],
    ["meter_rail", { is: "nothing", why: "name the column after what is read: `rail`" }],
    ["meter_rail (min)", { is: "minutes", test: 1 }],
  ])("%s", (text, role) => {
    expect(columnsOf([text], graph)[0]!.role).toEqual(role)
  })

  test("a byte order mark is no part of the first header, which may be a job's number", () => {
    expect(columnsOf(["\ufeffJob No"], graph)).toEqual([
      { header: "Job No", letter: "A", role: { is: "id" } },
    ])
  })

  test("a column is not taken twice", () => {
    expect(columnsOf(["rail", "RAIL"], graph)[1]!.role).toEqual({
      is: "nothing",
      why: "the same as column A",
    })
  })
})

describe("rows", () => {
  test("become the line of JSON that says the same", () => {
    const cells = ["K-1", "2026-03-09", "24100", "No", "y", "gone", "stays", "5", "panel_dead", "no", "x"]
    const line = rowLine(mapping, cells, 5, graph)
    expect(JSON.parse(line)).toEqual({
      id: "K-1",
      date: "2026-03-09",
      told: { moved: "yes" },
      steps: [
        { test: "look_glow", found: { glow: "no" } },
        { test: "meter_rail", found: { rail: "24100 mV" }, minutes: 5 },
        { test: "try_panel", found: "gone" },
        { putBack: "panel", found: "stays" },
      ],
      faults: ["panel_dead"],
      came_back: false,
    })
    expect(read(...cells)).toEqual({ case: { ...readCase(line, 5, graph).case }, diagnostics: [] })
  })

  test("a decimal comma is read, missing values are left out", () => {
    const { case: record, diagnostics } = read("K-2", "", "24100,5", "?", "", "", "", "", "panel failed", "1")
    expect(diagnostics).toEqual([])
    expect(record).toMatchObject({ told: [], confirmed: { kind: "faults", faults: [1] }, cameBack: true })
    expect(record!.steps.length).toBe(1)
  })

  test("a number that can be two is refused, in words", () => {
    const { case: record, diagnostics } = read("K-3", "", "24,100", "?", "", "", "", "", "panel failed", "1")
    expect(record).toBeUndefined()
    expect(diagnostics[0]!.message).toContain("`24,100` can be read as 24.100 or as 24100")
    expect(read("K-4", "", "24 100", "?", "", "", "", "", "panel failed", "1").case?.steps.length).toBe(1)
  })

  test("all actions have columns, in the order in which they were done", () => {
    const header = [
      "id",
      "try_panel",
      "left in try_panel",
      "take out panel",
      "replace panel",
      "fix panel_dead",
    ]
    const more = ["look again", "close", "keep panel", "hand over", "fault", "second fault"]
    const wide = columnMapping([...header, ...more], graph)
    expect(wide.columns.map((column) => roleText(column, graph))).toMatchSnapshot()
    const cells = [
      "K-5",
      "stays",
      "yes",
      "y",
      "stays",
      "gone",
      "gone",
      "holds",
      "no",
      "",
      "panel failed",
      "unlisted",
    ]
    const line = rowLine(wide, cells, 2, graph)
    expect(readRow(wide, cells, 2, graph).rejected).toBeUndefined()
    expect(JSON.parse(line)).toEqual({
      id: "K-5",
      steps: [
        { test: "try_panel", found: "stays", leftIn: true },
        { takeOut: "panel", found: "done" },
        { replace: "panel", found: "stays" },
        { fix: "panel_dead", found: "gone" },
        { look: true, found: "gone" },
        { close: true, found: "holds" },
      ],
      faults: ["panel_dead", "unlisted"],
    })
    const wrong = readRow(wide, [...cells.slice(0, 8), "gone"], 2, graph)
    expect(wrong.diagnostics.map(({ path, message }) => [path, message])).toEqual([
      ["I2", "Row 2, column I (`keep panel`): This is yes or no; `gone` is neither."],
    ])
  })

  test("bad cells are said by row and column, and the row is rejected", () => {
    const bad = read(
      "K-3",
      "9.3.2026",
      "99999",
      "maybe",
      "no",
      "fixed",
      "",
      "-5",
      "panel_dead",
      "perhaps",
      "",
      "more",
    )
    expect(bad.rejected).toBe(true)
    expect(bad.case).toBeUndefined()
    expect(bad.diagnostics.map(({ message, path }) => `${path}  ${message}`)).toMatchSnapshot()
  })

  test("a fault that is not listed is said and kept; an empty row is nothing", () => {
    const kept = read("K-4", "", "24100", "no", "", "", "", "", "mouse in it", "")
    expect(kept.diagnostics.map(({ code, path }) => [code, path])).toEqual([["case-fault", "I5"]])
    expect(kept.case!.confirmed).toEqual({ kind: "unlisted", name: "mouse in it" })
    expect(read("", " ", "")).toEqual({ diagnostics: [] })
  })
})
