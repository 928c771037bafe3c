/**
 * A graph and its replay as SQL that runs on any engine with recursive queries (SQL:1999): nothing in it belongs to one
 * engine. The first part makes the graph's tables and empty ones for the cases, which the shop then fills; the second
 * part replays all cases at once.
 */

import { actionName } from "../graph/action-name.ts"
import type { Graph, GraphNode, GraphStep } from "../run/graph.ts"
import { at } from "../run/lookup.ts"
import { oneLine } from "./escaping.ts"
import { isStep } from "./labels.ts"
import { ShipError } from "./ship-error.ts"
import { cellRows, needRows, strides, unitRows } from "./sql-readings.ts"
import { replaySql } from "./sql-replay.ts"

export interface SqlParts {
  /** Tables of the graph, filled, and `ruleout_case` and `ruleout_finding`, empty. */
  readonly graph: string
  /** Makes `ruleout_ending` from the filled tables. */
  readonly replay: string
}

/** @throws ShipError if a name contains what some engines don't read as plain text. */
export function writeSql(graph: Graph): string {
  const { graph: tables, replay } = sqlParts(graph)
  return `${tables}\n-- Fill ruleout_case and ruleout_finding here.\n\n${replay}`
}

const TEXT = "VARCHAR(4000)"
const tables: Readonly<Record<string, string>> = {
  case: `case_id ${TEXT} NOT NULL PRIMARY KEY, fault ${TEXT}, other ${TEXT}`,
  finding: `case_id ${TEXT} NOT NULL, name ${TEXT} NOT NULL, value ${TEXT}, number DOUBLE PRECISION, unit ${TEXT}, round INTEGER DEFAULT 0 NOT NULL, nth INTEGER DEFAULT 1 NOT NULL, PRIMARY KEY (case_id, name, round, nth)`,
  cell: `reading INTEGER, name ${TEXT}, cell INTEGER, value ${TEXT}, low DOUBLE PRECISION, high DOUBLE PRECISION, top DOUBLE PRECISION`,
  unit: `name ${TEXT}, unit ${TEXT}, factor DOUBLE PRECISION, shift DOUBLE PRECISION`,
  need: "act INTEGER, reading INTEGER, stride INTEGER, takes INTEGER",
  look: `act INTEGER, name ${TEXT}`,
  node: `node INTEGER NOT NULL PRIMARY KEY, does ${TEXT}, act INTEGER, name ${TEXT}, tag ${TEXT}, rounds INTEGER, repairs INTEGER, place ${TEXT}, price DOUBLE PRECISION, likeliest ${TEXT}`,
  edge: "node INTEGER NOT NULL, outcome INTEGER NOT NULL, next_node INTEGER, PRIMARY KEY (node, outcome)",
  fault: `name ${TEXT}, place ${TEXT}`,
}
const RESULTS = ["seen", "walk", "ending"]

const ABOUT = [
  "-- One row of ruleout_case for each job: `fault` and `other` are what it turned out to be, as far as that is known.",
  "-- One row of ruleout_finding for each thing found in it. `name` is a reading or told question (`value` its word, or",
  "-- `number` its number, with `unit` if it isn't the reading's own); or the name of a test that swaps, redoes or removes,",
  "-- `put back PART`, `replace PART`, `fix FAULT` or `look again` (`value` is gone or stays); or `proof run` (holds or fails).",
  "-- `round` counts the repairs before it in the job (replace, fix, and a part kept), 0 for told questions, and `nth` how",
  "-- often the same was done in that round, from 1.",
]

/** @throws ShipError as `writeSql` does. */
export function sqlParts(graph: Graph): SqlParts {
  const { name, version, source } = graph.ruleset
  const acts = new Acts(graph)
  const drops = (names: readonly string[]) =>
    names.map((table) => `DROP TABLE IF EXISTS ruleout_${table};`).join("\n")
  const columns = Object.entries(tables).map(([table, shape]) => `CREATE TABLE ruleout_${table} (${shape});`)
  const nodes = graph.nodes.map((node, n) => nodeRow(graph, acts, node, n))
  const rows = [
    insert("cell", cellRows(graph)),
    insert("unit", unitRows(graph)),
    insert("need", needRows(graph)),
    insert("look", acts.looks),
    insert("node", nodes),
    insert(
      "edge",
      graph.nodes.flatMap((node, n) => (isStep(node) ? edgeRows(graph, node, n) : [])),
    ),
    insert(
      "fault",
      graph.faults.map((fault) => [fault.name, at(graph.places, fault.place).name]),
    ),
  ]
  const head = [`-- ${oneLine(`${name} ${version}`)}, ${oneLine(source)}`, ...ABOUT]
  return {
    graph: `${[...head, "", drops([...RESULTS, ...Object.keys(tables)]), ...columns, "", ...rows.filter((each) => each !== "")].join("\n")}\n`,
    replay: `${drops(RESULTS)}\n${replaySql(graph.start)}`,
  }
}

export type SqlCell = string | number | undefined

function insert(table: string, rows: readonly (readonly SqlCell[])[]): string {
  const statements: string[] = []
  for (let i = 0; i < rows.length; i += 100) {
    const values = rows.slice(i, i + 100).map((row) => `  (${row.map(literal).join(", ")})`)
    statements.push(`INSERT INTO ruleout_${table} VALUES\n${values.join(",\n")};`)
  }
  return statements.join("\n")
}

/** A backslash is an ordinary character in SQL:1999 but an escape in some engines; control characters end or change a text. */
function literal(cell: SqlCell): string {
  if (cell === undefined) return "NULL"
  if (typeof cell === "number") return String(cell)
  if (/[\\\p{Cc}]/u.test(cell))
    throw new ShipError(
      `This graph can't be exported to SQL: the name \`${oneLine(cell)}\` contains a backslash or a control character.`,
    )
  return `'${cell.replaceAll("'", "''")}'`
}

/** Everything that can be done has a number: a test its index, other actions those after it, in order of use. */
class Acts {
  readonly #graph: Graph
  readonly #numbers = new Map<string, number>()
  /** Actions that look for the complaint or run the proof, with the name that their findings have. */
  readonly looks: (readonly [number, string])[] = []

  constructor(graph: Graph) {
    this.#graph = graph
    graph.tests.forEach(({ kind, name }, test) => {
      if (kind !== "reads" && kind !== "told") this.looks.push([test, name])
    })
    for (const node of graph.nodes)
      if (isStep(node) && node.do !== "test" && needsFinding(node)) this.#add(node)
  }

  #add(node: GraphStep): void {
    const name = this.nameOf(node)
    if (this.#numbers.has(name)) return
    const number = this.#graph.tests.length + this.#numbers.size
    this.#numbers.set(name, number)
    this.looks.push([number, name])
  }

  /** The name that a finding of this action has. */
  nameOf(node: GraphStep): string {
    return node.do === "close" ? "proof run" : actionName(this.#graph, node)
  }

  /** -1 for what needs no finding. */
  numberOf(node: GraphStep): number {
    if (node.do === "test") return node.test
    return this.#numbers.get(this.nameOf(node)) ?? -1
  }
}

/** Nothing is looked at after these; a proof run without anything in it holds. */
function needsFinding(node: GraphStep): boolean {
  return node.do === "close" ? node.proofs.length > 0 : node.do !== "takeOut" && node.do !== "keep"
}

function nodeRow(graph: Graph, acts: Acts, node: GraphNode, n: number): SqlCell[] {
  if (!isStep(node)) {
    const [best] = node.do === "handover" ? node.candidates.toSorted((a, b) => b.present - a.present) : []
    const likeliest = best && (best.fault === undefined ? "unlisted" : at(graph.faults, best.fault).name)
    return [n, node.do, undefined, undefined, undefined, 0, 0, undefined, undefined, likeliest]
  }
  const act = acts.numberOf(node)
  const isTold = node.do === "test" && at(graph.tests, node.test).kind === "told"
  const isRepair = node.do === "keep" || node.do === "replace" || node.do === "fix"
  const bought = node.do === "keep" || node.do === "replace" ? at(graph.places, node.part) : undefined
  return [
    n,
    node.do,
    act,
    acts.nameOf(node),
    `;${act};`,
    isTold || !needsFinding(node) ? 0 : 1,
    isRepair ? 1 : 0,
    bought?.name,
    bought && (bought.price ?? 0),
    undefined,
  ]
}

const outcomes = { gone: 0, stays: 1, holds: 2, fails: 3, done: -1 } as const

function edgeRows(graph: Graph, node: GraphStep, n: number): SqlCell[][] {
  const own = node.do === "test" ? strides(graph, node.test) : []
  return node.edges.map(({ on, to }) => {
    const outcome = !needsFinding(node)
      ? -1
      : typeof on === "string"
        ? outcomes[on]
        : on.reduce((sum, cell, i) => sum + cell * at(own, i), 0)
    return [n, outcome, to]
  })
}
