/** The SQL of a graph run here, on DuckDB: files of any size, Parquet among them. */

import { tmpdir, totalmem } from "node:os"
import { join } from "node:path"
import type { DuckDBConnection } from "@duckdb/node-api"
import type { Graph } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import { sqlParts } from "../../ship/sql.ts"
import { countOf } from "../../wording/figures.ts"
import { openCaseFile } from "./case-files.ts"
import {
  distinctNames,
  doubledIn,
  fromLines,
  fromTable,
  REJECTED,
  recordsOf,
  sheetOf,
  text,
} from "./duckdb-cases.ts"
import { displayName } from "./files.ts"
import { UserError } from "./user-error.ts"

/** Loaded only when needed: it is an optional dependency of tens of megabytes. */
async function connect(): Promise<DuckDBConnection> {
  try {
    const { DuckDBInstance } = await import("@duckdb/node-api")
    return await (await DuckDBInstance.create(":memory:", bounded())).connect()
  } catch {
    throw new UserError(
      "DuckDB isn't installed.",
      "Install the package `@duckdb/node-api` next to ruleout, or run the SQL on your own engine: ruleout ship --to sql.",
    )
  }
}

/** Half of what the machine has at most; what doesn't fit goes to files that are gone afterwards. */
function bounded(): Record<string, string> {
  const MiB = 1024 * 1024
  const memory = Math.max(256, Math.min(4096, Math.floor(totalmem() / MiB / 2)))
  return { memory_limit: `${memory}MiB`, temp_directory: join(tmpdir(), `ruleout-${process.pid}.duckdb`) }
}

/**
 * Walks all cases of a file by SQL, and gives the rows of `ruleout_ending` chunk by chunk, after their header. `say` is
 * given what is left out.
 */
export async function* replayBySql(
  graph: Graph,
  file: string,
  say: (problem: string) => void,
): AsyncGenerator<readonly (string | number)[][]> {
  const connection = await connect()
  const { graph: tables, replay } = sqlParts(graph)
  try {
    await connection.run(tables)
    await load(connection, graph, file, say)
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
    const says = error instanceof Error ? at(error.message.split("\n"), 0) : String(error)
    throw new UserError(`DuckDB can't read \`${file}\`: ${says}`)
  } finally {
    connection.closeSync()
  }
}

function cellOf(value: unknown): string | number {
  if (value === null || value === undefined) return ""
  return typeof value === "number" ? value : String(value)
}

async function load(
  connection: DuckDBConnection,
  graph: Graph,
  file: string,
  say: (problem: string) => void,
): Promise<void> {
  if (/\.jsonl(\.gz)?$/i.test(file)) {
    await connection.run(recordsOf(file))
    await leaveOutUnread(connection, say)
    await connection.run(fromLines(graph))
    return
  }
  const source = /\.parquet$/i.test(file)
    ? `read_parquet(${text(file)})`
    : await loadTable(connection, file, say)
  const header = (await connection.run(`SELECT * FROM ${source} LIMIT 0`)).columnNames()
  const insert = fromTable(graph, source, header)
  const [doubled] = await rowsOf(connection, doubledIn(graph, source, header))
  if (doubled)
    throw new UserError(
      `Two rows of ${displayName(file)} have the id ${displayName(String(doubled[0]))}.`,
      "Remove one, or give it an id of its own.",
    )
  await connection.run(insert)
}

/** A table that isn't Parquet as one of the database; rows that can't be read are left out. */
async function loadTable(
  connection: DuckDBConnection,
  file: string,
  say: (problem: string) => void,
): Promise<string> {
  const { header = [], delimiter = ",", batches } = await openCaseFile(file, true)
  // Only its head is read here.
  for await (const _ of batches) break
  await connection.run(sheetOf(file, distinctNames(header), delimiter))
  sayUnread(await rowsOf(connection, REJECTED), "row", "line", say)
  return "sheet"
}

function sayUnread(
  unread: readonly (readonly unknown[])[],
  what: string,
  place: string,
  say: (problem: string) => void,
): void {
  if (unread.length === 0) return
  const first = unread.slice(0, MOST_NAMED).map(([n]) => String(n))
  const more = unread.length > first.length ? " and more" : ""
  say(`${countOf(unread.length, what)} can't be read and left out: ${place} ${first.join(", ")}${more}.`)
}

/** Lines that are no records, and of records with one id all but the first: what is left is replayed. */
async function leaveOutUnread(connection: DuckDBConnection, say: (problem: string) => void): Promise<void> {
  const unread = await rowsOf(connection, "SELECT n FROM record WHERE id IS NULL ORDER BY n")
  sayUnread(unread, "record", "number", say)
  const doubled = await rowsOf(
    connection,
    `SELECT id, n, first FROM (SELECT id, n, min(n) OVER (PARTITION BY id) AS first FROM record WHERE id IS NOT NULL)
    WHERE n > first ORDER BY n LIMIT ${MOST_NAMED}`,
  )
  for (const [id, n, first] of doubled)
    say(`Record ${n} has the same id as record ${first}, ${displayName(String(id))}, and is left out.`)
  await connection.run(`DELETE FROM record WHERE id IS NULL;
    DELETE FROM record WHERE n NOT IN (SELECT min(n) FROM record GROUP BY id);`)
}

/** Problems named; more of a kind say the same. */
const MOST_NAMED = 20

async function rowsOf(connection: DuckDBConnection, query: string) {
  return (await connection.run(query)).getRows()
}
