import { readdirSync, readFileSync } from "node:fs"
import { gzipSync } from "node:zlib"
import fc from "fast-check"
import Papa from "papaparse"
import { beforeAll, beforeEach, describe, expect, test } from "vitest"
import { isDay } from "../../../compiler/cases/record/calendar.ts"
import { CsvRows } from "../../../compiler/cases/table/csv-rows.ts"
import { FAN } from "../fan.ts"
import { openFolder, ruleout, said, takeTime } from "../run.ts"

takeTime()

const { folder, at, read, put, removeAllBut } = openFolder()

const record = (id: string, more: object = {}) =>
  JSON.stringify({
    id,
    ...more,
    steps: [
      { test: "push_left", found: "gone" },
      { close: true, found: "holds" },
    ],
    faults: ["left_loose"],
  })

beforeAll(async () => {
  put("fan.ruleout", FAN)
  expect((await said(["compile", "fan.ruleout", "-o", "fan.json"])).exit).toBe(0)
})

beforeEach(() => removeAllBut("fan.ruleout", "fan.json"))

const endsOf = (out: string) =>
  out
    .split("\n")
    .slice(1, -1)
    .map((row) => row.split(",")[0])

describe("two cases with one id", () => {
  test("are an error that names both lines; the first counts, on any number of threads, in any batch", async () => {
    const ids = Array.from({ length: 30_000 }, (_, i) => `K-${i}`)
    const lines = ids.map((id) => record(id))
    lines[20_000] = record("K-3")
    lines[20_001] = `{"steps":[],"id":"K-\\u0034"}`
    put("jobs.jsonl", `${lines.join("\n")}\n`)
    for (const workers of ["1", "2"]) {
      const { exit, out, err } = ruleout(["replay", "fan.json", "jobs.jsonl", "--csv", "--workers", workers])
      expect(exit).toBe(2)
      expect(err).toContain("This case has the same id as line 4, `K-3`")
      expect(err).toContain("jobs.jsonl:20001:7")
      expect(err).toContain("This case has the same id as line 5, `K-4`")
      expect(endsOf(out)).toEqual(ids.filter((_, i) => i !== 20_000 && i !== 20_001))
    }
  })

  test("in every command that reads cases, lines or rows", async () => {
    put("jobs.jsonl", `${record("K-1")}\n\n${record("K-2")}\n${record("K-1")}\n`)
    put("jobs.csv", "id,push_left,fault\nK-1,gone,left_loose\nK-2,gone,left_loose\nK-1,stays,right_loose\n")
    for (const file of ["jobs.jsonl", "jobs.csv"])
      for (const args of [
        ["replay", "fan.json", file],
        ["compare", "fan.json", "fan.json", file],
        ["fit", "fan.ruleout", file],
        ...(file === "jobs.csv" ? [["import", "fan.json", file, "--out", "made.jsonl"]] : []),
      ]) {
        const { err, out } = await said(args)
        expect(err + out).toMatch(
          file === "jobs.csv"
            ? /Row 4: This case has the same id as row 2, `K-1`/
            : /same id as line 1, `K-1`/,
        )
      }
    expect(read("made.jsonl").trimEnd().split("\n")).toHaveLength(2)
  })
})

describe("dates", () => {
  test("are the days of the calendar, and no others", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 9999 }), fc.nat(13), fc.nat(32), (year, month, day) => {
        const two = (n: number) => String(n).padStart(2, "0")
        const text = `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`
        const date = new Date(`${text}T00:00:00Z`)
        const isReal = !Number.isNaN(date.getTime()) && date.toISOString().slice(0, 10) === text
        expect([text, isDay(text)]).toEqual([text, isReal])
      }),
      { numRuns: 3000 },
    )
    for (const none of ["", "yesterday", "2026-3-9", "26-03-09", "2026-03-09 10:00"])
      expect(isDay(none)).toBeUndefined()
  })

  test("that don't exist are an error, those to come a warning", async () => {
    const far = `${new Date().getUTCFullYear() + 1}-06-01`
    put(
      "jobs.jsonl",
      `${[record("K-1", { date: "2026-02-30" }), record("K-2", { date: far }), record("K-3", { date: "2024-02-29" }), record("K-4", { date: "soon" })].join("\n")}\n`,
    )
    const { exit, out, err } = await said(["replay", "fan.json", "jobs.jsonl", "--csv"])
    expect(exit).toBe(2)
    expect(err).toContain("error: There is no such day as `2026-02-30`. [case-value]\n  jobs.jsonl:1:20")
    expect(err).toContain(`warning: \`${far}\` is yet to come. [case-value]\n  jobs.jsonl:2:20`)
    expect(err).toContain("warning: `soon` is not a date.")
    expect(endsOf(out)).toEqual(["K-2", "K-3", "K-4"])
    put("jobs.csv", `id,date,fault\nK-1,2025-02-29,left_loose\nK-2,${far},left_loose\n`)
    const rows = await said(["replay", "fan.json", "jobs.csv"])
    expect(rows.exit).toBe(2)
    expect(rows.err).toContain("Row 2, column B (`date`): There is no such day as `2025-02-29`.")
    expect(rows.err).toContain(`Row 3, column B (\`date\`): \`${far}\` is yet to come.`)
  })
})

describe("what is compressed", () => {
  test("is read everywhere, and written nowhere", async () => {
    const lines = `${record("K-1")}\n${record("K-2")}\n`
    const table = "id,push_left,fault\nK-1,gone,left_loose\nK-2,gone,left_loose\n"
    put("jobs.jsonl", lines)
    put("jobs.csv", table)
    for (const name of ["jobs.jsonl", "jobs.csv", "fan.json", "fan.ruleout"])
      put(`${name}.gz`, gzipSync(readFileSync(at(name))))
    for (const [plain, packed] of [
      [
        ["replay", "fan.json", "jobs.jsonl"],
        ["replay", "fan.json", "jobs.jsonl.gz"],
      ],
      [
        ["replay", "fan.json", "jobs.csv", "--csv"],
        ["replay", "fan.json", "jobs.csv.gz", "--csv"],
      ],
      [
        ["replay", "fan.json", "jobs.jsonl", "--sql"],
        ["replay", "fan.json", "jobs.jsonl.gz", "--sql"],
      ],
      [
        ["compare", "fan.json", "fan.json", "jobs.csv"],
        ["compare", "fan.json.gz", "fan.json", "jobs.csv.gz"],
      ],
      [
        ["import", "fan.json", "jobs.csv"],
        ["import", "fan.json", "jobs.csv.gz"],
      ],
      [
        ["fit", "fan.ruleout", "jobs.jsonl"],
        ["fit", "fan.ruleout", "jobs.jsonl.gz"],
      ],
      [
        ["check", "fan.ruleout"],
        ["check", "fan.ruleout.gz"],
      ],
    ])
      expect(await said(packed!)).toEqual(await said(plain!))
    put("cut.jsonl.gz", gzipSync(lines).subarray(0, 40))
    put("no.jsonl.gz", lines)
    for (const file of ["cut.jsonl.gz", "no.jsonl.gz"])
      expect(await said(["replay", "fan.json", file])).toMatchObject({
        exit: 2,
        err: expect.stringContaining("gzip can't unpack it"),
      })
    for (const args of [
      ["compile", "fan.ruleout", "-o", "new.gz"],
      ["import", "fan.json", "jobs.csv", "--out", "new.jsonl.gz"],
      ["bench", "fan.json", "--save", "jobs.jsonl.gz"],
    ])
      expect(await said(args)).toMatchObject({
        exit: 2,
        err: expect.stringContaining("nothing is written compressed"),
      })
    expect(readdirSync(folder).filter((name) => name.startsWith("new"))).toEqual([])
  })
})

test("one bad line, or an id twice, doesn't fail a whole replay by SQL", async () => {
  put("jobs.jsonl", `${record("K-1")}\n{bad\n${record("K-2")}\n[1]\n${record("K-1")}\n`)
  const { exit, out, err } = await said(["replay", "fan.json", "jobs.jsonl", "--sql"])
  expect(exit).toBe(2)
  expect(endsOf(out)).toEqual(["K-1", "K-2"])
  expect(err).toContain("error: 2 records can't be read and left out: number 2, 4.")
  expect(err).toContain("error: Record 5 has the same id as record 1, `K-1`, and is left out.")
  put("good.jsonl", `${record("K-1")}\n${record("K-2")}\n`)
  expect(await said(["replay", "fan.json", "good.jsonl", "--sql"])).toEqual({ exit: 0, out, err: "" })
  put("jobs.csv", "id,push_left,fault\nK-1,gone,left_loose\nK-1,gone,left_loose\n")
  expect(await said(["replay", "fan.json", "jobs.csv", "--sql"])).toMatchObject({
    exit: 2,
    err: expect.stringContaining("Two rows of `jobs.csv` have the id `K-1`."),
  })
  const bad = 'K-2,gone,left_loose,more,and more\nK-3,gone\nK-4,"go"ne,left_loose\n'
  put("jobs.csv", `id,push_left,fault\nK-1,gone,left_loose\n${bad}K-5,gone,left_loose\n`)
  const rows = await said(["replay", "fan.json", "jobs.csv", "--sql"])
  expect(rows).toMatchObject({
    exit: 2,
    err: expect.stringContaining("error: 3 rows can't be read and left out: line 3, 4, 5."),
  })
  expect(endsOf(rows.out)).toEqual(["K-1", "K-5"])
})

describe("the reader of tables", () => {
  const rows = (text: string, cuts: readonly number[]) => {
    const reader = new CsvRows()
    const all: string[][] = []
    let from = 0
    for (const cut of cuts) {
      all.push(...reader.push(text.slice(from, from + cut)))
      from += cut
    }
    return [...all, ...reader.push(text.slice(from)), ...reader.end()]
  }

  test("reads what somebody else's writer writes, wherever it is cut", () => {
    const cell = fc.stringMatching(/^[ab"\n\r, é]{0,4}$/)
    const table = fc.array(fc.array(cell, { minLength: 3, maxLength: 3 }), { minLength: 1, maxLength: 6 })
    fc.assert(
      fc.property(
        table,
        fc.constantFrom(",", ";", "\t", "|"),
        fc.constantFrom("\n", "\r\n"),
        fc.boolean(),
        fc.array(fc.nat(9)),
        (cells, delimiter, newline, quotes, cuts) => {
          const all = [["id", "one", "two"], ...cells]
          // Without quotes a comma could be the delimiter of a table that has another.
          const plain = quotes ? all : all.map((row) => row.map((each) => each.replaceAll(",", ".")))
          const text = Papa.unparse(plain, { delimiter, newline, quotes })
          expect(rows(text, cuts)).toEqual(plain)
          expect(rows(`\ufeff${text}${newline}`, cuts)).toEqual(plain)
        },
      ),
      { numRuns: 3000 },
    )
  })

  test("takes what spreadsheets and people write", () => {
    expect(rows('id;inch\r\nK-1;15" screen\r\n\r\nK-2;"a ""b"" c"d\r\n', [])).toEqual([
      ["id", "inch"],
      ["K-1", '15" screen'],
      [""],
      ["K-2", 'a "b" cd'],
    ])
    expect(rows("id,x\rK-1,2\r", [])).toEqual([
      ["id", "x"],
      ["K-1", "2"],
    ])
    expect(rows("id\nK-1\n", [])).toEqual([["id"], ["K-1"]])
    expect(rows("", [])).toEqual([])
  })
})
