import { DuckDBInstance } from "@duckdb/node-api"
import fc from "fast-check"
import { expect, test } from "vitest"
import type { Graph, GraphStep } from "../../compiler/run/graph.ts"
import { isStep } from "../../compiler/ship/labels.ts"
import { sqlParts } from "../../compiler/ship/sql.ts"
import { sqlite } from "../support/sqlite.ts"
import { hostileText, withTexts } from "./hostile.ts"
import { kiosk } from "./parts.ts"

/** A stranger's words in SQL: what two engines read back is what was in the graph, and no table more. */
const unwritable = /[\\\p{Cc}]/u

const sly = [
  "'",
  "''",
  "'; DROP TABLE ruleout_case; --",
  "'); DELETE FROM ruleout_node; INSERT INTO ruleout_fault VALUES ('a', 'b",
  "' UNION SELECT 1 --",
  "'/* */ OR 1 = 1; CREATE TABLE more (x INTEGER); --",
  "\n.quit\n",
  "\n/\ngo\n",
  "*/ ; CREATE TABLE more (x INTEGER); /*",
  "\u02bc; \u2019; \u2018; \uff07; DROP TABLE ruleout_case; --",
  '"; CREATE TABLE more (x INTEGER); --',
  "$$; $tag$ '; $tag$",
  "?1 :name @name %s {0}",
  "E'x' N'x' X'27' U&'\uff3c0027'",
  "NULL",
  "1; --\r\nCREATE TABLE more (x INTEGER);",
]
const text = fc.oneof(fc.constantFrom(...sly), hostileText)
const texts = (kind: fc.Arbitrary<string>) => fc.array(kind, { minLength: 23, maxLength: 23 })

const verbs = { takeOut: "take out", putBack: "put back", keep: "keep", replace: "replace" } as const

/** The name that a node has in the tables. */
function nodeName(node: GraphStep, { tests, places, faults }: Graph): string {
  if (node.do === "test") return tests[node.test]!.name
  if (node.do === "fix") return `fix ${faults[node.fault]!.name}`
  if (node.do === "look") return "look again"
  return node.do === "close" ? "proof run" : `${verbs[node.do]} ${places[node.part]!.name}`
}

/** All words of a graph that go into its tables. */
function wordsOf(graph: Graph): string[] {
  const { readings, tests, faults, places, nodes } = graph
  const bought = nodes.flatMap((node) => (node.do === "keep" || node.do === "replace" ? [node.part] : []))
  return [
    ...readings.flatMap(({ name, unit = [], cells }) => [
      name,
      unit,
      cells.map(({ values, label }) => values ?? label),
    ]),
    ...tests.filter(({ kind }) => kind !== "reads" && kind !== "told").map(({ name }) => name),
    ...nodes.flatMap((node) => (isStep(node) ? [nodeName(node, graph)] : [])),
    ...faults.map(({ name, place }) => [name, places[place]!.name]),
    ...bought.map((part) => places[part]!.name),
    // A job that is handed over, and what is likeliest in it.
    ...(nodes.some((node) => node.do === "handover" && node.candidates[0]?.fault === undefined)
      ? ["unlisted"]
      : []),
  ].flat(3)
}

/** By their bytes, as both engines spell them, so that the way out of the engine changes nothing. */
const words = `SELECT DISTINCT hex(word) FROM (
  SELECT name AS word FROM ruleout_cell UNION SELECT value FROM ruleout_cell
  UNION SELECT unit FROM ruleout_unit WHERE factor = 1 AND shift = 0
  UNION SELECT name FROM ruleout_look UNION SELECT name FROM ruleout_node UNION SELECT place FROM ruleout_node
  UNION SELECT likeliest FROM ruleout_node
  UNION SELECT name FROM ruleout_fault UNION SELECT place FROM ruleout_fault
) WHERE word <> ''`
const bytes = (all: readonly string[]) =>
  [...new Set(all)]
    .filter((word) => word !== "")
    .map((word) => Buffer.from(word).toString("hex").toUpperCase())

const engines = {
  async DuckDB(script: string, ask: string): Promise<string[]> {
    const connection = await (await DuckDBInstance.create(":memory:")).connect()
    await connection.run(script)
    const rows = (await connection.runAndReadAll(ask)).getRows()
    connection.closeSync()
    return rows.map(([cell]) => String(cell))
  },
  SQLite: async (script: string, ask: string) => sqlite(`${script}\n${ask};`),
}
const tablesOf = {
  DuckDB: "SELECT table_name FROM information_schema.tables",
  SQLite: "SELECT name FROM sqlite_master WHERE type = 'table'",
}
const ours = "case cell edge ending fault finding look need node seen unit walk".split(" ")

test.each(["DuckDB", "SQLite"] as const)(
  "%s reads every word back as it was, has our tables only, and runs the replay",
  async (name) => {
    const property = fc.asyncProperty(texts(text.filter((each) => !unwritable.test(each))), async (all) => {
      const graph = withTexts(kiosk, all)
      const { graph: made, replay } = sqlParts(graph)
      const script = `${made}\nINSERT INTO ruleout_case VALUES ('a', NULL, NULL);\n${replay}`
      const ask = `${words} UNION ALL SELECT ending FROM ruleout_ending UNION ALL ${tablesOf[name]}`
      const rows = await engines[name](script, ask)
      const wanted = [...bytes(wordsOf(graph)), "open", ...ours.map((table) => `ruleout_${table}`)]
      expect(rows.sort()).toEqual(wanted.sort())
    })
    await fc.assert(property, { numRuns: 40 })
  },
  60_000,
)

test("what some engine takes for an escape or an end is refused, by name", () => {
  fc.assert(
    fc.property(texts(text), (all) => {
      const graph = withTexts(kiosk, all)
      const bad = Object.values(wordsOf(graph))
        .flat()
        .some((word) => unwritable.test(word))
      if (bad) expect(() => sqlParts(graph)).toThrow(/^This graph can't be exported to SQL: the name `/)
      else expect(sqlParts(graph).replay).toBe(sqlParts(kiosk).replay)
    }),
  )
})
