/** The SQL of a graph run here, on DuckDB: files of any size, Parquet among them. */

import { mkdtemp, rm } from "node:fs/promises"
import { tmpdir, totalmem } from "node:os"
import { join } from "node:path"
import type { DuckDBConnection } from "@duckdb/node-api"
import type { Graph } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import { sqlParts } from "../../ship/sql.ts"
import { countOf } from "../../wording/figures.ts"
import { openCaseFile } from "./case-files.ts"
import {
  createTableFrom,
  distinctNames,
  fromLines,
  fromTable,
  idOf,
  REJECTED,
  recordsOf,
  text,
} from "./duckdb-cases.ts"
import { displayName } from "./files.ts"
import { UserError } from "./user-error.ts"

/** Loaded only when needed: it is an optional dependency of tens of megabytes. */
async function connect(folder: string): Promise<DuckDBConnection> {
  try {
    const { DuckDBInstance } = await import("@duckdb/node-api")
    return await (await DuckDBInstance.create(join(folder, "cases.duckdb"), bounded(folder))).connect()
  } catch {
    throw new UserError(
      "DuckDB isn't installed.",
      "Install the package `@duckdb/node-api` next to ruleout, or run the SQL on your own engine: ruleout ship --to sql.",
    )
  }
}

/** What doesn't fit into a gigabyte, or half of what the machine has, goes to files in `folder`. */
function bounded(folder: string): Record<string, string> {
  const MiB = 1024 * 1024
  const memory = Math.max(256, Math.min(1024, Math.floor(totalmem() / MiB / 2)))
  return { memory_limit: `${memory}MiB`, temp_directory: folder }
}

/** Cases that are walked at once: memory depends on it, and not on how many there are. */
const BATCH = 50_000

/**
 * Walks all cases of a file by SQL, and gives the rows of `ruleout_ending` chunk by chunk, after their header, in the order
 * of the ids. `say` is given what is left out, `most` cases are walked at once.
 */
export async function* replayBySql(
  graph: Graph,
  file: string,
  say: (problem: string) => void,
  most = BATCH,
): AsyncGenerator<readonly (string | number)[][]> {
  const folder = await mkdtemp(join(tmpdir(), "ruleout-sql-"))
  const connection = await connect(folder)
  try {
    const { graph: tables, replay } = sqlParts(graph)
    const { id, fill } = await load(connection, graph, file, say)
    for (const [i, [first, last]] of (await batchesOf(connection, id, most)).entries()) {
      await connection.run(`CREATE OR REPLACE TABLE batch AS SELECT * FROM every WHERE ${id} BETWEEN ${text(first)} AND ${text(last)};
        ${tables} ${fill} ${replay}`)
      yield* endings(connection, i === 0)
    }
  } catch (error) {
    if (error instanceof UserError) throw error
    const says = error instanceof Error ? at(error.message.split("\n"), 0) : String(error)
    throw new UserError(`DuckDB can't read \`${file}\`: ${says}`)
  } finally {
    connection.closeSync()
    await rm(folder, { recursive: true, force: true })
  }
}

/** First and last id of each batch, in order; one that is empty where there are no cases. */
async function batchesOf(
  connection: DuckDBConnection,
  id: string,
  most: number,
): Promise<(readonly [string, string])[]> {
  const rows = await rowsOf(
    connection,
    `SELECT min(id), max(id) FROM (SELECT ${id} AS id, (row_number() OVER (ORDER BY ${id}) - 1) // ${most} AS nth FROM every)
    GROUP BY nth ORDER BY nth`,
  )
  return rows.length > 0 ? rows.map(([first, last]) => [String(first), String(last)]) : [["", ""]]
}

async function* endings(
  connection: DuckDBConnection,
  hasHeader: boolean,
): AsyncGenerator<readonly (string | number)[][]> {
  const result = await connection.stream("SELECT * FROM ruleout_ending ORDER BY case_id")
  if (hasHeader) yield [result.columnNames()]
  for (let chunk = await result.fetchChunk(); chunk && chunk.rowCount > 0; chunk = await result.fetchChunk())
    yield chunk.getRows().map((row) => row.map(cellOf))
}

function cellOf(value: unknown): string | number {
  if (value === null || value === undefined) return ""
  return typeof value === "number" ? value : String(value)
}

/** The cases of the file as the table `every`: its column of ids, and what fills the tables of the graph from a `batch` of it. */
async function load(
  connection: DuckDBConnection,
  graph: Graph,
  file: string,
  say: (problem: string) => void,
): Promise<{ readonly id: string; readonly fill: string }> {
  if (/\.jsonl(\.gz)?$/i.test(file)) {
    await connection.run(recordsOf(file))
    await leaveOutUnread(connection, say)
    return { id: "id", fill: fromLines(graph) }
  }
  if (/\.parquet$/i.test(file))
    await connection.run(`CREATE TABLE every AS SELECT * FROM read_parquet(${text(file)})`)
  else await loadTable(connection, file, say)
  const header = (await connection.run("SELECT * FROM every LIMIT 0")).columnNames()
  const fill = fromTable(graph, header)
  const id = idOf(graph, header)
  const [without] = await rowsOf(
    connection,
    `SELECT count(*) FROM every WHERE ${id} IS NULL HAVING count(*) > 0`,
  )
  if (without)
    throw new UserError(
      `${countOf(Number(without[0]), "row")} of ${displayName(file)} have no id.`,
      "Give each case one.",
    )
  const [doubled] = await rowsOf(
    connection,
    `SELECT ${id} FROM every GROUP BY 1 HAVING count(*) > 1 ORDER BY 1 LIMIT 1`,
  )
  if (doubled)
    throw new UserError(
      `Two rows of ${displayName(file)} have the id ${displayName(String(doubled[0]))}.`,
      "Remove one, or give it an id of its own.",
    )
  return { id, fill }
}

/** A table that isn't Parquet as one of the database; rows that can't be read are left out. */
async function loadTable(
  connection: DuckDBConnection,
  file: string,
  say: (problem: string) => void,
): Promise<void> {
  const { header = [], delimiter = ",", batches } = await openCaseFile(file, true)
  // Only its head is read here.
  for await (const _ of batches) break
  await connection.run(createTableFrom(file, distinctNames(header), delimiter))
  sayUnread(await rowsOf(connection, REJECTED), "row", "line", say)
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
  const unread = await rowsOf(connection, "SELECT n FROM every WHERE id IS NULL ORDER BY n")
  sayUnread(unread, "record", "number", say)
  const doubled = await rowsOf(
    connection,
    `SELECT id, n, first FROM (SELECT id, n, min(n) OVER (PARTITION BY id) AS first FROM every WHERE id IS NOT NULL)
    WHERE n > first ORDER BY n LIMIT ${MOST_NAMED}`,
  )
  for (const [id, n, first] of doubled)
    say(`Record ${n} has the same id as record ${first}, ${displayName(String(id))}, and is left out.`)
  await connection.run(`DELETE FROM every WHERE id IS NULL;
    DELETE FROM every WHERE n NOT IN (SELECT min(n) FROM every GROUP BY id);`)
}

/** Problems named; more of a kind say the same. */
const MOST_NAMED = 20

async function rowsOf(connection: DuckDBConnection, query: string) {
  return (await connection.run(query)).getRows()
}
