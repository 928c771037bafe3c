/** The SQL of a graph run here, on DuckDB: files of any size, Parquet among them. */
import type { DuckDBConnection } from "@duckdb/node-api"
import type { Graph } from "../../run/graph.ts"
import { sqlParts } from "../../ship/sql.ts"
import { fromLines, fromTable, text } from "./duckdb-cases.ts"
import { UserError } from "./user-error.ts"

/** Loaded only when needed: it is an optional dependency of tens of megabytes. */
async function connect(): Promise<DuckDBConnection> {
  try {
    const { DuckDBInstance } = await import("@duckdb/node-api")
    return await (await DuckDBInstance.create(":memory:")).connect()
  } catch {
    throw new UserError(
      "DuckDB isn't installed.",
      "Install the package `@duckdb/node-api` next to ruleout, or run the SQL on your own engine: ruleout ship --to sql.",
    )
  }
}

/** Walks all cases of a file by SQL, and gives the rows of `ruleout_ending` chunk by chunk, after their header. */
export async function* replayBySql(
  graph: Graph,
  file: string,
): AsyncGenerator<readonly (string | number)[][]> {
  const connection = await connect()
  const { graph: tables, replay } = sqlParts(graph)
  try {
    await connection.run(tables)
    await load(connection, graph, file)
    await connection.run(replay)
    const result = await connection.stream("SELECT * FROM ruleout_ending ORDER BY case_id")
    yield [result.columnNames()]
    for (
      let chunk = await result.fetchChunk();
      chunk && chunk.rowCount > 0;
      chunk = await result.fetchChunk()
    )
      yield chunk.getRows().map((row) => row.map(cellOf))
  } catch (error) {
    if (error instanceof UserError) throw error
    const says = error instanceof Error ? error.message.split("\n")[0]! : String(error)
    throw new UserError(`DuckDB can't read \`${file}\`: ${says}`)
  } finally {
    connection.closeSync()
  }
}

function cellOf(value: unknown): string | number {
  if (value === null || value === undefined) return ""
  return typeof value === "number" ? value : String(value)
}

async function load(connection: DuckDBConnection, graph: Graph, file: string): Promise<void> {
  if (/\.jsonl(\.gz)?$/i.test(file)) await connection.run(fromLines(graph, file))
  else {
    const source = /\.parquet$/i.test(file)
      ? `read_parquet(${text(file)})`
      : `read_csv(${text(file)}, all_varchar = true, header = true)`
    const header = (await connection.run(`SELECT * FROM ${source} LIMIT 0`)).columnNames()
    await connection.run(fromTable(graph, source, header))
  }
}
