/** Recorded cases as DuckDB reads them into the tables of a graph's SQL: lines of JSON, or a table with a column for each thing. */

import { type Column, columnsOf } from "../../cases/table/columns.ts"
import type { Graph } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import { UserError } from "./user-error.ts"

export const text = (value: string) => `'${value.replaceAll("'", "''")}'`
const column = (name: string) => `"${name.replaceAll('"', '""')}"`

/** Booleans, of JSON or of a column, as a record writes them. */
const word = (value: string) =>
  `CASE ${value} WHEN 'true' THEN 'yes' WHEN 'false' THEN 'no' ELSE ${value} END`

/** A number with its unit, as a record writes it: `24.1 V`. */
const parts = (value: string) =>
  `${value}, TRY_CAST(regexp_extract(${value}, '^\\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)', 1) AS DOUBLE), NULLIF(trim(regexp_extract(${value}, '^\\s*[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?\\s*([^0-9].*)$', 1)), '')`

/** What a step of a record did, as a finding is named in SQL. */
const DONE = `coalesce(step ->> '$.test', step ->> '$.reading', 'put back ' || (step ->> '$.putBack'),
    'replace ' || (step ->> '$.replace'), 'fix ' || (step ->> '$.fix'),
    CASE WHEN step ->> '$.look' = 'true' THEN 'look again' WHEN step ->> '$.close' = 'true' THEN 'proof run' END)`

/** A part that is kept or replaced and a fault that is fixed begin a new round. */
const IS_REPAIR = `CASE WHEN coalesce(step ->> '$.keep', step ->> '$.replace', step ->> '$.fix') IS NULL THEN 0 ELSE 1 END`

/** Lines of `*.cases.jsonl`, blank ones aside, with their numbers; what isn't a record has no id. */
export const recordsOf = (file: string) => `
CREATE TABLE every AS SELECT row_number() OVER () AS n, * FROM read_json(${text(file)}, format = 'newline_delimited', ignore_errors = true,
  columns = {id: 'VARCHAR', told: 'JSON', steps: 'JSON[]', fault: 'VARCHAR', faults: 'VARCHAR[]'});`

/** A batch of the records in the tables of the graph. */
export function fromLines(graph: Graph): string {
  // A test with one reading may have its value alone.
  const alone = graph.model.tests.flatMap(({ reads = [] }, test) =>
    reads.length === 1 && at(graph.tests, test).kind === "reads"
      ? [`WHEN ${text(at(graph.tests, test).name)} THEN ${text(at(graph.readings, at(reads, 0)).name)}`]
      : [],
  )
  const name = alone.length > 0 ? `CASE name ${alone.join(" ")} ELSE name END` : "name"
  const told = graph.readings.flatMap((reading) => (reading.told ? [text(reading.name)] : []))
  const round = told.length > 0 ? `CASE WHEN name IN (${told.join(", ")}) THEN 0 ELSE round END` : "round"
  return `
INSERT INTO ruleout_case SELECT id, any_value(coalesce(faults[1], fault)), any_value(faults[2]) FROM batch GROUP BY id;
CREATE OR REPLACE TABLE step AS
  SELECT *, coalesce(SUM(${IS_REPAIR}) OVER (PARTITION BY id ORDER BY n, nr ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS round
  FROM (SELECT id, n, generate_subscripts(steps, 1) AS nr, unnest(steps) AS step FROM batch);
CREATE OR REPLACE TABLE said AS
  SELECT id, n, 0 AS nr, 0 AS round, key AS name, told ->> ('$."' || key || '"') AS value
    FROM (SELECT id, n, told, unnest(json_keys(told)) AS key FROM batch WHERE told IS NOT NULL)
  UNION ALL
  SELECT id, n, nr, round, key, step ->> ('$.found."' || key || '"')
    FROM (SELECT *, unnest(json_keys(step, '$.found')) AS key FROM step WHERE json_type(step, '$.found') = 'OBJECT')
  UNION ALL
  SELECT id, n, nr, round, ${DONE}, step ->> '$.found' FROM step WHERE json_type(step, '$.found') <> 'OBJECT';
INSERT INTO ruleout_finding
  SELECT id, name, ${parts("value")}, round, row_number() OVER (PARTITION BY id, name, round ORDER BY n, nr)
  FROM (SELECT id, n, nr, name, ${word("value")} AS value, ${round} AS round
    FROM (SELECT id, n, nr, round, ${name} AS name, value FROM said WHERE name IS NOT NULL AND value IS NOT NULL));`
}

/**
 * A table, all of its cells texts. Delimiter and columns are said and not guessed: rows that don't fit are then
 * those that are wrong, and are left out.
 */
export function createTableFrom(file: string, names: readonly string[], delimiter: string): string {
  const columns = names.map((name) => `${text(name)}: 'VARCHAR'`).join(", ")
  return `CREATE TABLE every AS SELECT * FROM read_csv(${text(file)}, auto_detect = false, columns = {${columns}},
  header = true, delim = ${text(delimiter)}, quote = '"', escape = '"', ignore_errors = true, store_rejects = true);`
}

/** Lines of the table that were left out. */
export const REJECTED = "SELECT DISTINCT line FROM reject_errors ORDER BY line"

/** The headers, each with a name of its own. */
export function distinctNames(header: readonly string[]): string[] {
  const taken = new Set<string>()
  return header.map((text, i) => {
    const name = text.replace(/^\ufeff/, "") || `column ${i + 1}`
    // DuckDB's names don't tell capitals apart.
    const own = taken.has(name.toLowerCase()) ? `${name} (column ${i + 1})` : name
    taken.add(own.toLowerCase())
    return own
  })
}

/** The ids of a table. */
export function idOf(graph: Graph, header: readonly string[]): string {
  const id = columnsOf(header, graph).find(({ role }) => role.is === "id")
  return `CAST(${column(id?.header ?? "id")} AS VARCHAR)`
}

/** A batch of a table, one row per case; columns by their headers, as `ruleout import` takes them: readings first, then the rest from left to right. */
export function fromTable(graph: Graph, header: readonly string[]): string {
  const columns = columnsOf(header, graph)
  const field = (is: "id" | "fault" | "second_fault") => columns.find(({ role }) => role.is === is)
  const id = field("id")
  if (!id)
    throw new UserError(
      "The table has no column `id`.",
      "Give each case an id: SQL has no other name for it.",
    )
  const repairs = columns.filter(({ role }) => ["keep", "replace", "fix"].includes(role.is))
  const selects = columns.flatMap((each, i) => {
    const cells = findingIn(each, graph)
    if (!cells) return []
    const before = repairs.filter((repair) => columns.indexOf(repair) < i && each.role.is !== "reading")
    const round = before.map((repair) => `CASE WHEN ${wasDone(repair)} THEN 1 ELSE 0 END`).join(" + ")
    return [
      `SELECT ${column(id.header)} AS case_id, ${cells}, ${round === "" ? "0" : round}, 1 FROM batch WHERE ${isGiven(each)}`,
    ]
  })
  const name = (of: Column | undefined) => (of ? `CAST(${column(of.header)} AS VARCHAR)` : "NULL")
  return [
    `INSERT INTO ruleout_case SELECT ${column(id.header)}, ${name(field("fault"))}, ${name(field("second_fault"))} FROM batch;`,
    ...(selects.length > 0 ? [`INSERT INTO ruleout_finding ${selects.join("\nUNION ALL ")};`] : []),
  ].join("\n")
}

const cellOf = ({ header }: Column) => `CAST(${column(header)} AS VARCHAR)`

const isGiven = (of: Column) => `${column(of.header)} IS NOT NULL AND ${cellOf(of)} NOT IN ('', '?')`

/** A part is kept where the cell says so; a replacing or fixing was done where something was found after it. */
const wasDone = (of: Column) =>
  of.role.is === "keep" ? `lower(${cellOf(of)}) IN ('yes', 'true', 'y', '1')` : isGiven(of)

/** Name, value, number and unit of what a column holds; undefined where it holds no finding. */
function findingIn(of: Column, graph: Graph): string | undefined {
  const { role } = of
  const value = cellOf(of)
  const look = (name: string) => `${text(name)}, ${value}, NULL, NULL`
  switch (role.is) {
    case "look":
      return look(at(graph.tests, role.test).name)
    case "put back":
    case "replace":
      return look(`${role.is} ${role.part}`)
    case "fix":
      return look(`fix ${role.fault}`)
    case "look again":
      return look("look again")
    case "close":
      return look("proof run")
    case "reading": {
      const name = text(at(graph.readings, role.reading).name)
      if (role.unit === undefined) return `${name}, ${parts(word(value))}`
      return `${name}, ${value}, TRY_CAST(${value} AS DOUBLE), ${text(role.unit)}`
    }
    default:
      return undefined
  }
}
