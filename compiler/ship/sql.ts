/**
 * A graph and its replay as SQL that runs on any engine with recursive queries (SQL:1999): nothing in it belongs to one
 * engine. The first part makes the graph's tables and empty ones for the cases, which the shop then fills; the second
 * part replays all cases at once.
 */
import type { Graph, GraphNode } from "../run/graph.ts"
import { convert } from "../run/index.ts"
import { oneLine } from "./escaping.ts"
import { ShipError } from "./ship-error.ts"
import { replaySql } from "./sql-replay.ts"

export interface SqlParts {
  /** Tables of the graph, filled, and `ruleout_case` and `ruleout_finding`, empty. */
  readonly graph: string
  /** Makes `ruleout_verdict` from the filled tables. */
  readonly replay: string
}

/** @throws ShipError if a name contains what some engines don't read as plain text. */
export function writeSql(graph: Graph): string {
  const { graph: tables, replay } = sqlParts(graph)
  return `${tables}\n-- Fill ruleout_case and ruleout_finding here.\n\n${replay}`
}

const made = ["seen", "walk", "verdict"]
const kept = ["case", "finding", "cell", "unit", "need", "look", "node", "edge", "fault"]

/** @throws ShipError as `writeSql` does. */
export function sqlParts(graph: Graph): SqlParts {
  const { name, version, source } = graph.ruleset
  const text = "VARCHAR(4000)"
  const drops = (tables: readonly string[]) =>
    tables.map((table) => `DROP TABLE IF EXISTS ruleout_${table};`).join("\n")
  const head = [
    `-- ${oneLine(`${name} ${version}`)}, ${oneLine(source)}`,
    "-- One row of ruleout_finding for each thing found in a case: `name` is a reading or told question (`value` its word,",
    "-- or `number` its number, with `unit` if it isn't the reading's own), the test of a swap or redo, or",
    "-- `put back PART` (`value` is gone or stays). Each name once per case. A case without findings has a row of ruleout_case.",
  ]
  const tables = [
    drops([...made, ...kept]),
    `CREATE TABLE ruleout_case (case_id ${text} NOT NULL PRIMARY KEY, fault ${text});`,
    `CREATE TABLE ruleout_finding (case_id ${text} NOT NULL, name ${text} NOT NULL, value ${text}, number DOUBLE PRECISION, unit ${text}, PRIMARY KEY (case_id, name));`,
    `CREATE TABLE ruleout_cell (reading INTEGER, name ${text}, cell INTEGER, value ${text}, low DOUBLE PRECISION, high DOUBLE PRECISION, top DOUBLE PRECISION);`,
    `CREATE TABLE ruleout_unit (name ${text}, unit ${text}, factor DOUBLE PRECISION, shift DOUBLE PRECISION);`,
    `CREATE TABLE ruleout_need (test INTEGER, reading INTEGER, stride INTEGER, takes INTEGER);`,
    `CREATE TABLE ruleout_look (name ${text}, test INTEGER, put_back INTEGER);`,
    `CREATE TABLE ruleout_node (node INTEGER NOT NULL PRIMARY KEY, does ${text}, test INTEGER, put_back INTEGER, remedy ${text}, place ${text}, chance DOUBLE PRECISION, fault ${text});`,
    `CREATE TABLE ruleout_edge (node INTEGER NOT NULL, outcome INTEGER NOT NULL, next_node INTEGER, PRIMARY KEY (node, outcome));`,
    `CREATE TABLE ruleout_fault (name ${text}, place ${text});`,
  ]
  const rows = [
    insert("cell", cells(graph)),
    insert("unit", units(graph)),
    insert("need", needs(graph)),
    insert("look", looks(graph)),
    insert(
      "node",
      graph.nodes.map((node, n) => nodeRow(graph, node, n)),
    ),
    insert("edge", edges(graph)),
    insert(
      "fault",
      graph.faults.map((fault) => [fault.name, graph.places[fault.place]!.name]),
    ),
  ]
  return {
    graph: `${[...head, "", ...tables, "", ...rows.filter((each) => each !== "")].join("\n")}\n`,
    replay: `${drops(made)}\n${replaySql(graph.start)}`,
  }
}

type Cell = string | number | undefined

function insert(table: string, rows: readonly (readonly Cell[])[]): string {
  const statements: string[] = []
  for (let i = 0; i < rows.length; i += 100) {
    const values = rows.slice(i, i + 100).map((row) => `  (${row.map(literal).join(", ")})`)
    statements.push(`INSERT INTO ruleout_${table} VALUES\n${values.join(",\n")};`)
  }
  return statements.join("\n")
}

/** A backslash is an ordinary character in SQL:1999 but an escape in some engines; control characters end or change a text. */
function literal(cell: Cell): string {
  if (cell === undefined) return "NULL"
  if (typeof cell === "number") return String(cell)
  if (/[\\\p{Cc}]/u.test(cell))
    throw new ShipError(
      `This graph can't be exported to SQL: the name \`${oneLine(cell)}\` contains a backslash or a control character.`,
    )
  return `'${cell.replaceAll("'", "''")}'`
}

/** Half a grid step, as the runner rounds: up, with room for binary fractions. */
const half = 0.5 + 1e-9

function cells(graph: Graph): Cell[][] {
  return graph.readings.flatMap(({ name, cells, from = 0, to = 0, by }, reading) =>
    cells.flatMap((cell, c): Cell[][] => {
      if (by === undefined)
        return (cell.values ?? []).map((value) => [reading, name, c, value, undefined, undefined, undefined])
      const step = (value: number) => Math.floor((value - from) / by + half)
      const low = Math.max(from, from + (step(cell.from!) - half) * by)
      return [[reading, name, c, undefined, low, from + (step(cell.to!) + 1 - half) * by, to]]
    }),
  )
}

const prefixes = ["", "p", "n", "u", "µ", "m", "c", "k", "M", "G", "Ki", "Mi", "Gi"]
const bases = "V A W ohm Ω F H Hz s min h degC °C K m g N Nm Pa bar bit B bit/s B/s rpm % dB".split(" ")
const spelt = bases.flatMap((base) => prefixes.map((prefix) => prefix + base))

/** Converts a number in another unit of the same dimension to the reading's own: number × factor + shift. */
function units(graph: Graph): Cell[][] {
  return graph.readings.flatMap(({ name, unit: own }) => {
    if (own === undefined) return []
    return [...new Set([...spelt, own])].flatMap((unit): Cell[][] => {
      const [zero, one] = [convert(0, unit, own), convert(1, unit, own)]
      return zero === undefined || one === undefined ? [] : [[name, unit, one - zero, zero]]
    })
  })
}

const isLook = (graph: Graph, test: number) => /^(swaps|redoes)$/.test(graph.tests[test]!.kind)

function needs(graph: Graph): Cell[][] {
  return graph.model.tests.flatMap(({ reads = [] }, test) => {
    if (isLook(graph, test)) return []
    const own = strides(graph, test)
    return reads.map((reading, i) => [test, reading, own[i]!, reads.length])
  })
}

/** Mixed radix: one integer for each combination of cells. */
function strides(graph: Graph, test: number): number[] {
  let stride = 1
  return (graph.model.tests[test]!.reads ?? []).map((reading) => {
    const own = stride
    stride *= graph.readings[reading]!.cells.length
    return own
  })
}

function looks(graph: Graph): Cell[][] {
  return graph.tests.flatMap(({ name }, test): Cell[][] => {
    const { part } = graph.model.tests[test]!
    if (!isLook(graph, test)) return []
    const back: Cell[][] = part === undefined ? [] : [[`put back ${graph.places[part]!.name}`, test, 1]]
    return [[name, test, 0], ...back]
  })
}

function nodeRow(graph: Graph, node: GraphNode, n: number): Cell[] {
  if (node.do === "test")
    return [n, "test", node.test, node.putBack ? 1 : 0, undefined, undefined, undefined, undefined]
  if (node.do === "advise") return [n, "advise", undefined, 0, undefined, undefined, undefined, undefined]
  const chances = new Map<number, number>()
  for (const { fault, chance } of node.candidates) chances.set(fault, (chances.get(fault) ?? 0) + chance)
  const [best] = [...chances].sort((a, b) => b[1] - a[1])
  const fault = best && graph.faults[best[0]]!.name
  if (node.do === "handover") return [n, "handover", undefined, 0, undefined, undefined, undefined, fault]
  const place = node.remedy.place === undefined ? undefined : graph.places[node.remedy.place]!.name
  return [n, "verdict", undefined, 0, node.remedy.kind, place, node.chance, fault]
}

function edges(graph: Graph): Cell[][] {
  return graph.nodes.flatMap((node, n) => {
    if (node.do !== "test") return []
    const own = strides(graph, node.test)
    return node.edges.map(({ cells, to }) => {
      if (typeof cells === "string") return [n, cells === "gone" ? 0 : 1, to]
      return [n, cells.reduce((sum, cell, i) => sum + cell * own[i]!, 0), to]
    })
  })
}
