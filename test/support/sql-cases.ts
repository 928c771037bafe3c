/** Random cases for a graph's SQL, and what the runner itself says to each. */
import { type Graph, open, type Session } from "../../compiler/run/index.ts"
import { readAnswer } from "../../compiler/run/read.ts"
import type { Draw } from "./models.ts"

interface Finding {
  readonly name: string
  readonly value?: string
  readonly number?: number
  readonly unit?: string
}

export interface SqlCase {
  readonly id: string
  readonly findings: readonly Finding[]
}

/** Nine findings out of ten are there; numbers lie anywhere in the range, on the edge of a step too, some in thousandths. */
export function sqlCase(graph: Graph, draw: Draw, id: string): SqlCase {
  const findings: Finding[] = []
  const add = (finding: Finding) => {
    if (draw.int(0, 9) > 0) findings.push(finding)
  }
  for (const { name, cells, from, to, by, unit } of graph.readings) {
    const cell = cells[draw.int(0, cells.length - 1)]!
    if (by === undefined) add({ name, value: cell.values![0]! })
    else {
      const steps = Math.round((cell.to! - cell.from!) / by)
      const near = cell.from! + draw.int(0, steps) * by + (draw.int(-10, 10) / 20) * by
      const number = Math.min(to!, Math.max(from!, near))
      const smaller = unit === "V" && draw.int(0, 1) === 0
      add(smaller ? { name, number: number * 1000, unit: "mV" } : { name, number })
    }
  }
  graph.tests.forEach(({ name, kind }, test) => {
    if (kind !== "swaps" && kind !== "redoes") return
    const { part } = graph.model.tests[test]!
    const looked = () => (draw.int(0, 2) > 0 ? "stays" : "gone")
    add({ name, value: looked() })
    const back = part === undefined ? undefined : `put back ${graph.places[part]!.name}`
    if (back !== undefined && !findings.some((each) => each.name === back))
      add({ name: back, value: looked() })
  })
  return { id, findings }
}

/** Rows for `ruleout_case` and `ruleout_finding`, as `INSERT`s. */
export function insertCases(cases: readonly SqlCase[]): string {
  const text = (value: string | undefined) =>
    value === undefined ? "NULL" : `'${value.replaceAll("'", "''")}'`
  const rows = cases.flatMap(({ id, findings }) =>
    findings.map(
      ({ name, value, number, unit }) =>
        `(${text(id)}, ${text(name)}, ${text(value)}, ${number ?? "NULL"}, ${text(unit)})`,
    ),
  )
  const statements: string[] = []
  const batch = (table: string, all: readonly string[]) => {
    for (let i = 0; i < all.length; i += 1000)
      statements.push(`INSERT INTO ruleout_${table} VALUES ${all.slice(i, i + 1000).join(",")};`)
  }
  batch(
    "case",
    cases.map(({ id }) => `(${text(id)}, NULL)`),
  )
  batch("finding", rows)
  return statements.join("\n")
}

/** What the runner says, as `id,steps,ending,remedy,place`; each way of findings is gone once. */
export function runnerSays(graph: Graph): (each: SqlCase) => string {
  const ways = new Map<string, Session>()
  const start = open(graph)
  return ({ id, findings }) => {
    const known = new Map(findings.map((each) => [each.name, each]))
    let session = start
    let way = ""
    for (let steps = 0; ; steps++) {
      const { next } = session
      const said = (ending: string, remedy = "", place = "") => [id, steps, ending, remedy, place].join(",")
      if (next.by === "model" && !(next.do === "handover")) return said("advise")
      if (next.do === "verdict") {
        const { kind, place } = next.remedy
        return said("verdict", kind, place === undefined ? "" : graph.places[place]!.name)
      }
      if (next.do === "handover") return said("handover")
      const found = foundFor(graph, next.test, next.putBack, known)
      if (found === undefined) return said("open")
      way += `/${String(found)}`
      const after = ways.get(way) ?? session.answer(found)
      ways.set(way, after)
      // What fits no listed fault ends the walk where it was found.
      if (after.next.do === "handover" && after.next.by === "model") return said("handover")
      session = after
    }
  }
}

function foundFor(
  graph: Graph,
  test: number,
  putBack: string | undefined,
  known: ReadonlyMap<string, Finding>,
): readonly number[] | "gone" | "stays" | undefined {
  const { kind, name } = graph.tests[test]!
  if (kind === "swaps" || kind === "redoes")
    return known.get(putBack === undefined ? name : `put back ${putBack}`)?.value as "gone" | undefined
  const cells: number[] = []
  for (const reading of graph.model.tests[test]!.reads!) {
    const found = known.get(graph.readings[reading]!.name)
    if (found === undefined) return undefined
    const value = found.value ?? (found.unit === undefined ? found.number! : `${found.number} ${found.unit}`)
    cells.push(readAnswer(graph, [reading], value)[0]!.cell)
  }
  return cells
}
