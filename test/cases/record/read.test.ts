import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { flaw, locate } from "../../../compiler/cases/record/json-locations.ts"
import { readCase, readCases } from "../../../compiler/cases/record/read.ts"
import { graph, read } from "../small-machine.ts"

/** What is said of a line, and the text that it points at. */
function said(line: string) {
  const { diagnostics, case: record } = readCase(line, 7, graph, { file: "jobs.jsonl", offset: 100 })
  return {
    kept: record !== undefined,
    says: diagnostics.map(({ severity, code, message, help, span, path, line: n }) => {
      expect(n).toBe(7)
      expect(span.file).toBe("jobs.jsonl")
      return `${severity} ${code} ${path} [${line.slice(span.start - 100, span.end - 100)}] ${message}${help ? ` | ${help}` : ""}`
    }),
  }
}

describe("a case that is right", () => {
  test("is read to indexes and cells, units and all", () => {
    const { case: record, diagnostics } = read({
      date: "2026-03-09",
      complaint: "dark",
      told: { moved: "yes" },
      steps: [
        { test: "look_glow", found: { glow: false }, minutes: 2 },
        { test: "meter_rail", found: "24000 mV" },
        { test: "try_board", found: "stays", leftIn: true },
        { takeOut: "board", found: "done" },
        { test: "try_board", found: "gone" },
        { putBack: "board", found: "stays", minutes: 12 },
        { found: { rail: 3 } },
        { reading: "rail", found: 7 },
        { replace: "board", found: "gone" },
        { keep: "panel", found: "done" },
        { fix: "plug_loose", found: "stays", minutes: 4 },
        { look: true, found: "gone" },
        { close: true, found: "holds" },
        { handOver: true },
      ],
      faults: ["plug_loose", "board_dead"],
      confirmed: "soak",
      came_back: true,
    })
    expect(diagnostics).toEqual([])
    expect(record).toEqual({
      id: "K-1",
      line: 1,
      date: "2026-03-09",
      told: [{ reading: 0, cell: 0 }],
      steps: [
        { do: "test", test: 0, found: [{ reading: 1, cell: 1 }], minutes: 2 },
        { do: "test", test: 1, found: [{ reading: 2, cell: 1 }] },
        { do: "test", test: 2, leftIn: true, found: "stays" },
        { do: "takeOut", part: 0, found: "done" },
        { do: "test", test: 2, found: "gone" },
        { do: "putBack", part: 0, found: "stays", minutes: 12 },
        { do: "read", found: [{ reading: 2, cell: 0 }] },
        { do: "read", found: [{ reading: 2, cell: 1 }] },
        { do: "replace", part: 0, found: "gone" },
        { do: "keep", part: 1, found: "done" },
        { do: "fix", fault: 4, found: "stays", minutes: 4 },
        { do: "look", found: "gone" },
        { do: "close", found: "holds" },
        { do: "handOver", found: "done" },
      ],
      confirmedBy: "soak",
      confirmed: { kind: "faults", faults: [0, 4] },
      cameBack: true,
      otherMinutes: 0,
    })
  })

  test.each([
    { of: "version 1", fields: { fault: "board_dead" }, confirmed: { kind: "faults", faults: [0] } },
    { of: "nobody's word", fields: {}, confirmed: { kind: "unknown" } },
    { of: "an empty list", fields: { faults: [] }, confirmed: { kind: "unknown" } },
    {
      of: "the same twice",
      fields: { faults: ["lid_open", "lid_open"] },
      confirmed: { kind: "faults", faults: [3] },
    },
    {
      of: "nothing listed",
      fields: { faults: ["unlisted"] },
      confirmed: { kind: "unlisted", name: "unlisted" },
    },
  ])("says what was wrong: $of", ({ fields, confirmed }) => {
    const { case: record, diagnostics } = read({ steps: [], ...fields })
    expect(diagnostics).toEqual([])
    expect(record!.confirmed).toEqual(confirmed)
  })

  test("a fault of the shop's own beside a listed one is a case that only handing over is right for", () => {
    const { case: record, diagnostics } = read({ faults: ["board_dead", "mouse_in_it"] })
    expect(diagnostics.map(({ code, path }) => [code, path])).toEqual([["case-fault", "faults[1]"]])
    expect(record!.confirmed).toEqual({ kind: "unlisted", name: "mouse_in_it" })
    const three = read({ faults: ["board_dead", "lid_open", "seat_loose"] })
    expect(three.diagnostics.map(({ code }) => code)).toEqual(["case-fault"])
    expect(three.case!.confirmed.kind).toBe("unlisted")
  })
})

describe("a case that is not", () => {
  const lines = [
    `{"id":"a","steps":[{"test":"metr_rail","found":"3 V","minutes":4}],"fault":"bord_dead"}`,
    `{"id":"a","steps":[{"test":"meter_rail","found":{"rail":"40 V"}},{"test":"meter_rail","found":{"rail":"5 A"}}]}`,
    `{"id":"a","steps":[{"test":"look_glow","found":{"glow":"perhaps"}},{"test":"try_board","found":"better"}]}`,
    `{"id":"a","told":{"mowed":"yes"},"steps":[{"putBack":"panel","found":"gone"}],"came_bak":true}`,
    `{"id":"a","steps":[{"test":"look_glow"},{"minutes":3},7],"date":"9.3.2026","complaint":"smells"}`,
    `{"id":"a","steps":[{"test":"look_glow","found":"yes","minutes":-1}],"fault":4,"came_back":"no"}`,
    `{"id":"a","findings":{"rail":"24.1 V"},"truth":"board_dead"}`,
    `{"id":"a","steps":[{"replace":"seat","found":"gone"},{"keep":"bord"},{"fix":"bord_dead","found":"gone"},{"close":true,"found":"gone"},{"look":true}]}`,
    `{"id":"a","faults":"board_dead","steps":[{"replac":"board","found":"gone"}]}`,
    `{"id":"a","faults":[4]}`,
    `{"id":"","steps":[]}`,
    `{"steps":[]}`,
    `["a"]`,
    `{"id":"a",}`,
    `{"id":"a"`,
    `{'id':'a'}`,
    `{"id":"a"} {"id":"b"}`,
    `{"id":"tab\there"}`,
  ]
  test("is said at its place, with the nearest name", () => {
    expect(lines.map((line) => ({ line, ...said(line) }))).toMatchSnapshot()
  })

  test("never spoils the rest of its file", () => {
    const text = `\ufeff{"id":"a","fault":"board_dead"}\r\n\r\n{"id":\n{"id":"b","steps":[]}`
    const all = [...readCases(text, graph)]
    expect(
      all.map(({ case: record, diagnostics }) => [
        record?.id,
        diagnostics.map(({ span }) => text.slice(span.start, span.end)),
      ]),
    ).toEqual([
      ["a", []],
      [undefined, []],
      [undefined, [""]],
      ["b", []],
    ])
    expect(all[0]!.case!.confirmed).toEqual({ kind: "faults", faults: [0] })
  })

  test("keeps the minutes of a step that it must leave out", () => {
    const { case: record } = read({ steps: [{ test: "rub_it", found: "gone", minutes: 9 }] })
    expect(record).toMatchObject({ steps: [], otherMinutes: 9 })
  })

  test("of any shape is a problem, never a crash", () => {
    const names = fc.constantFrom(
      "id",
      "told",
      "steps",
      "test",
      "putBack",
      "replace",
      "fix",
      "close",
      "leftIn",
      "faults",
      "found",
      "minutes",
      "fault",
      "moved",
      "try_board",
      "rail",
      "__proto__",
    )
    const values = fc.letrec((tie) => ({
      value: fc.oneof(
        { maxDepth: 4 },
        fc.constantFrom("gone", "stays", "look_glow", "meter_rail", "board", "yes", "board_dead"),
        fc.jsonValue(),
        fc.array(tie("value"), { maxLength: 4 }),
        fc.dictionary(names, tie("value"), { maxKeys: 6 }),
      ),
    })).value
    fc.assert(
      fc.property(
        fc.oneof(
          values.map((value) => JSON.stringify(value)),
          fc.string(),
          fc.string({ unit: "binary" }),
        ),
        (line) => {
          const { case: record, diagnostics } = readCase(line, 1, graph)
          if (line.trim() !== "" && record === undefined)
            expect(diagnostics.some(({ severity }) => severity === "error")).toBe(true)
          for (const { span } of diagnostics)
            expect(0 <= span.start && span.start <= span.end && span.end <= line.length).toBe(true)
        },
      ),
      { numRuns: 500 },
    )
  })

  test("nested a hundred thousand deep is a problem", () => {
    for (const line of [`{"id":${"[".repeat(1e5)}`, `{"id":"a","told":${"[".repeat(1e5)}${"]".repeat(1e5)}}`])
      expect(readCase(line, 1, graph).diagnostics).toHaveLength(1)
  })
})

describe("places in a line of JSON", () => {
  test("every value is found where it stands", () => {
    const line = `{ "a" : [ 1, {"b\\"c": "x\\u00e9"} , null ], "a2":-1.5e3 }`
    const at = (...path: (string | number)[]) => {
      const { start, end } = locate(line, path)
      return line.slice(start, end)
    }
    expect([at("a", 0), at("a", 1, 'b"c'), at("a", 2), at("a2"), at("a", 7)]).toEqual([
      "1",
      `"x\\u00e9"`,
      "null",
      "-1.5e3",
      `[ 1, {"b\\"c": "x\\u00e9"} , null ]`,
    ])
  })

  test("it finds a flaw exactly where there is one", () => {
    const parses = (text: string) => {
      try {
        JSON.parse(text)
        return true
      } catch {
        return false
      }
    }
    const pieces = fc.constantFrom(
      "{",
      "}",
      "[",
      "]",
      ",",
      ":",
      '"a"',
      '"',
      "1",
      "-",
      "0.5",
      "01",
      "1e5",
      "true",
      "nul",
      " ",
      "\\",
      "\t",
      "\n",
      "\u0001",
      "é",
    )
    fc.assert(
      fc.property(
        fc.oneof(
          fc.array(pieces, { maxLength: 12 }).map((all) => all.join("")),
          fc.json(),
        ),
        (text) => {
          expect(flaw(text) === undefined).toBe(parses(text))
        },
      ),
      { numRuns: 2000 },
    )
  })
})

test("a table where lines of JSON are expected is called one, at its first line", () => {
  const help = (line: string, n: number) => readCase(line, n, graph).diagnostics[0]!.help
  expect(help("id,rail,found", 1)).toContain("This looks like a table. Name a file that ends in `.csv`")
  expect(help("\ufeffjob;Rail [V]", 1)).toContain("This looks like a table.")
  expect(help("id,rail,found", 2)).toBe("Each case is one line of JSON, from `{` to `}`.")
  expect(help('{"id":1,', 1)).toBe("Each case is one line of JSON, from `{` to `}`.")
})
