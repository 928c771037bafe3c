import { DuckDBInstance } from "@duckdb/node-api"
import { describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/index.ts"
import { sqlParts } from "../../compiler/ship/sql.ts"
import { TILL } from "../cases/till.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { seeded } from "../support/models.ts"
import { ASK, insertCases, runnerSays, sqlCase } from "../support/sql-cases.ts"
import { sqlite } from "../support/sqlite.ts"

const graphOf = (text: string) => compile("r.ruleout", () => text, { effort: 300 }).graph!

async function duckdb(script: string): Promise<string[]> {
  const connection = await (await DuckDBInstance.create(":memory:")).connect()
  await connection.run(script)
  const rows = (await connection.runAndReadAll(ASK)).getRows()
  connection.closeSync()
  return rows.map((row) => row.map((cell) => (cell === null ? "" : String(cell))).join(","))
}

function check(rows: readonly string[], wanted: ReadonlyMap<string, string>): void {
  expect(rows.length).toBe(wanted.size)
  for (const row of rows) expect(row).toBe(wanted.get(row.split(",")[0]!))
}

describe.each([
  { name: "the kiosk", graph: graphOf(KIOSK_DARK), count: 600 },
  { name: "the till", graph: graphOf(TILL), count: 600 },
])("$name: the same SQL ends where the runner does", ({ graph, count }: { graph: Graph; count: number }) => {
  const draw = seeded(17)
  const cases = Array.from({ length: count }, (_, i) => sqlCase(graph, draw, `c${i}`))
  const says = runnerSays(graph)
  const wanted = new Map(cases.map((each) => [each.id, says(each)]))
  const { graph: tables, replay } = sqlParts(graph)
  const script = [tables, insertCases(cases), replay].join("\n")

  test("the cases end in every way", () => {
    const rows = [...wanted.values()].map((row) => row.split(","))
    const endings = new Set(rows.map(([, , ending]) => ending))
    for (const ending of ["closed", "handover", "open"]) expect([...endings]).toContain(ending)
    // A first repair that did not hold, and parts bought in vain.
    expect(rows.some(([, , ending, , repairs]) => ending === "closed" && Number(repairs) > 1)).toBe(true)
    expect(rows.some(([, , , , , , vain]) => Number(vain) > 0)).toBe(true)
  })

  test("on DuckDB", async () => check(await duckdb(script), wanted))

  test("on SQLite", () => check(sqlite(`BEGIN;\n${script}\n${ASK};`), wanted))
})

test("names and values with quotes stay values", () => {
  const graph = graphOf(TILL)
  const sly = "x'); DROP TABLE ruleout_case; --"
  const ruleset = { ...graph.ruleset, name: `${sly}\nDROP TABLE ruleout_case;` }
  const places = graph.places.map((place) => ({ ...place, name: `${place.name}${sly}` }))
  const { graph: tables, replay } = sqlParts({ ...graph, ruleset, places })
  const case1 = "INSERT INTO ruleout_case VALUES ('a', NULL, NULL);"
  expect(sqlite(`${tables}\n${case1}\n${replay}\nSELECT COUNT(*) FROM ruleout_case;`)).toEqual(["1"])
})
