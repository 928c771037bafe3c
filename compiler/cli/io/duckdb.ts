/** The SQL of a graph run here, on DuckDB: files of any size, Parquet among them. */
import type { DuckDBConnection } from "@duckdb/node-api"
import { columnsOf } from "../../cases/table/columns.ts"
import type { Graph } from "../../run/graph.ts"
import { sqlParts } from "../../ship/sql.ts"
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

/** Walks all cases of a file by SQL, and gives the rows of `ruleout_verdict` chunk by chunk, after their header. */
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
    const result = await connection.stream("SELECT * FROM ruleout_verdict ORDER BY case_id")
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

const text = (value: string) => `'${value.replaceAll("'", "''")}'`
const column = (name: string) => `"${name.replaceAll('"', '""')}"`

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

/** Booleans, of JSON or of a column, as a record writes them. */
const word = (value: string) =>
  `CASE ${value} WHEN 'true' THEN 'yes' WHEN 'false' THEN 'no' ELSE ${value} END`

/** A number with its unit, as a record writes it: `24.1 V`. */
const parts = (value: string) =>
  `${value}, TRY_CAST(regexp_extract(${value}, '^\\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)', 1) AS DOUBLE), NULLIF(trim(regexp_extract(${value}, '^\\s*[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?\\s*([^0-9].*)$', 1)), '')`

/** Lines of `*.cases.jsonl`. Of a reading taken twice the first counts, as it was before anything was done. */
function fromLines(graph: Graph, file: string): string {
  // A test with one reading may have its value alone.
  const alone = graph.model.tests.flatMap(({ reads = [] }, test) =>
    reads.length === 1 && graph.tests[test]!.kind === "reads"
      ? [`WHEN ${text(graph.tests[test]!.name)} THEN ${text(graph.readings[reads[0]!]!.name)}`]
      : [],
  )
  const name = alone.length > 0 ? `CASE name ${alone.join(" ")} ELSE name END` : "name"
  return `
CREATE TABLE record AS SELECT row_number() OVER () AS n, * FROM read_json(${text(file)}, format = 'newline_delimited',
  columns = {id: 'VARCHAR', told: 'JSON', steps: 'JSON[]', fault: 'VARCHAR'});
INSERT INTO ruleout_case SELECT id, any_value(fault) FROM record GROUP BY id;
CREATE TABLE step AS SELECT id, n, generate_subscripts(steps, 1) AS nr, unnest(steps) AS step FROM record;
CREATE TABLE said AS
  SELECT id, 0 AS nr, key AS name, told ->> ('$."' || key || '"') AS value
    FROM (SELECT id, told, unnest(json_keys(told)) AS key FROM record WHERE told IS NOT NULL)
  UNION ALL
  SELECT id, nr, key, step ->> ('$.found."' || key || '"')
    FROM (SELECT id, nr, step, unnest(json_keys(step, '$.found')) AS key FROM step WHERE json_type(step, '$.found') = 'OBJECT')
  UNION ALL
  SELECT id, nr, coalesce('put back ' || (step ->> '$.putBack'), step ->> '$.test'), step ->> '$.found'
    FROM step WHERE json_type(step, '$.found') <> 'OBJECT';
INSERT INTO ruleout_finding
  SELECT id, name, ${parts("value")} FROM (
    SELECT id, nr, ${name} AS name, ${word("value")} AS value FROM said
    WHERE name IS NOT NULL AND value IS NOT NULL
    QUALIFY row_number() OVER (PARTITION BY id, name ORDER BY nr) = 1);`
}

/** One row per case; columns by their headers, as `ruleout import` takes them. */
function fromTable(graph: Graph, source: string, header: readonly string[]): string {
  const columns = columnsOf(header, graph)
  const id = columns.find(({ role }) => role.is === "id")
  if (!id)
    throw new UserError(
      "The table has no column `id`.",
      "Give each case an id: SQL has no other name for it.",
    )
  const fault = columns.find(({ role }) => role.is === "fault")
  const selects = columns.flatMap(({ header, role }) => {
    const value = `CAST(${column(header)} AS VARCHAR)`
    const select = (name: string, cells: string) =>
      `SELECT ${column(id.header)} AS case_id, ${text(name)} AS name, ${cells} FROM ${source} WHERE ${column(header)} IS NOT NULL AND ${value} NOT IN ('', '?')`
    if (role.is === "look") return [select(graph.tests[role.test]!.name, `${value}, NULL, NULL`)]
    if (role.is === "put back") return [select(`put back ${role.part}`, `${value}, NULL, NULL`)]
    if (role.is !== "reading") return []
    const { name } = graph.readings[role.reading]!
    if (role.unit === undefined) return [select(name, parts(word(value)))]
    return [select(name, `${value}, TRY_CAST(${value} AS DOUBLE), ${text(role.unit)}`)]
  })
  const faults = fault ? `CAST(${column(fault.header)} AS VARCHAR)` : "NULL"
  return [
    `INSERT INTO ruleout_case SELECT ${column(id.header)}, ${faults} FROM ${source};`,
    ...(selects.length > 0 ? [`INSERT INTO ruleout_finding ${selects.join("\nUNION ALL ")};`] : []),
  ].join("\n")
}
