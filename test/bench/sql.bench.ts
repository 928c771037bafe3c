import { join } from "node:path"
import { DuckDBInstance } from "@duckdb/node-api"
import { sourceReader } from "../../compiler/cli/io/compile-file.ts"
import { compile } from "../../compiler/compile.ts"
import { sqlParts } from "../../compiler/ship/sql.ts"
import { seeded } from "../support/models.ts"
import { postgres } from "../support/postgres.ts"
import { ASK, insertCases, runnerSays, sqlCase } from "../support/sql-cases.ts"
import { sqlite } from "../support/sqlite.ts"

export const title = "Replaying by SQL, random cases of the flagship"

const source = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture.ruleout")
const count = 100_000

export async function run(print: (line: string) => void): Promise<void> {
  const { graph } = compile(source, sourceReader(source))
  if (!graph) throw new Error("The flagship does not compile.")
  const draw = seeded(23)
  const cases = Array.from({ length: count }, (_, i) => sqlCase(graph, draw, `c${i}`))
  const says = runnerSays(graph)
  const began = performance.now()
  const wanted = new Map(cases.map((each) => [each.id, says(each)]))
  print(
    `${count.toLocaleString("en")} cases, ${cases.reduce((sum, { findings }) => sum + findings.length, 0).toLocaleString("en")} findings; the runner says in ${seconds(began)}`,
  )
  const { graph: tables, replay } = sqlParts(graph)
  const filled = `${tables}\n${insertCases(cases)}`

  const connection = await (await DuckDBInstance.create(":memory:")).connect()
  await connection.run(filled)
  const from = performance.now()
  await connection.run(replay)
  const walked = seconds(from)
  const rows = (await connection.runAndReadAll(ASK)).getRows()
  const said = rows.map((row) => row.map((cell) => cell ?? "").join(","))
  print(`DuckDB: ${agreement(said, wanted)}; walked in ${walked}`)
  connection.closeSync()

  const fromLite = performance.now()
  print(
    `SQLite: ${agreement(sqlite(`BEGIN;\n${filled}\n${replay}\n${ASK};`), wanted)}; filled and walked in ${seconds(fromLite)}`,
  )

  const fromPg = performance.now()
  const pg = postgres(`BEGIN;\n${filled}\nCOMMIT;\nANALYZE;\n${replay}\n${ASK};`)
  print(
    pg
      ? `PostgreSQL: ${agreement(pg, wanted)}; filled and walked in ${seconds(fromPg)}`
      : "PostgreSQL is not on this machine.",
  )
}

function agreement(rows: readonly string[], wanted: ReadonlyMap<string, string>): string {
  let same = 0
  for (const row of rows) if (wanted.get(row.split(",")[0]!) === row) same++
  return `${same.toLocaleString("en")} of ${wanted.size.toLocaleString("en")} endings as the runner's`
}

function seconds(from: number): string {
  return `${((performance.now() - from) / 1000).toFixed(1)} s`
}
