/** Random cases for a graph's SQL, and what the runner itself says to each. */
import {
  type ActionStep,
  type Answer,
  type Graph,
  type GraphEdge,
  type GraphNode,
  open,
  type Session,
} from "../../compiler/run/index.ts"
import type { Draw } from "./models.ts"

interface Finding {
  readonly name: string
  readonly value?: string
  readonly number?: number
  readonly unit?: string
  readonly round: number
  readonly nth: number
}

export interface SqlCase {
  readonly id: string
  readonly faults: readonly string[]
  readonly findings: readonly Finding[]
}

/** What the SQL is asked, in the order of `runnerSays`. */
export const ASK =
  "SELECT case_id, steps, ending, REPLACE(asked_for, ' ', '_'), repairs, CAST(bought AS INTEGER), CAST(in_vain AS INTEGER) FROM ruleout_ending"

/** Repairs that cases are drawn for, and how often each thing is done in a round. */
const ROUNDS = 4
const TIMES = 2

/** Nine findings out of ten are there; numbers lie anywhere in the range, on the edge of a step too, some in thousandths. */
export function sqlCase(graph: Graph, draw: Draw, id: string): SqlCase {
  const findings: Finding[] = []
  for (let round = 0; round < ROUNDS; round++)
    for (let nth = 1; nth <= TIMES; nth++)
      for (const finding of [...readings(graph, draw), ...looks(graph, draw)]) {
        const isTold = graph.readings.some(({ name, told }) => told && name === finding.name)
        if (draw.int(0, 9) > 0 && (!isTold || (round === 0 && nth === 1)))
          findings.push({ ...finding, round, nth })
      }
  const names = [...graph.faults.map(({ name }) => name), "unlisted"]
  const count = draw.int(0, 2)
  const faults = Array.from({ length: count }, () => names[draw.int(0, names.length - 1)]!)
  return { id, faults: [...new Set(faults)], findings }
}

type Value = Omit<Finding, "round" | "nth">

function readings(graph: Graph, draw: Draw): Value[] {
  return graph.readings.map(({ name, cells, from, to, by, unit }) => {
    const cell = cells[draw.int(0, cells.length - 1)]!
    if (by === undefined) return { name, value: cell.values![0]! }
    const steps = Math.round((cell.to! - cell.from!) / by)
    const near = cell.from! + draw.int(0, steps) * by + (draw.int(-10, 10) / 20) * by
    const number = Math.min(to!, Math.max(from!, near))
    const smaller = unit === "V" && draw.int(0, 1) === 0
    return smaller ? { name, number: number * 1000, unit: "mV" } : { name, number }
  })
}

/** The complaint is gone often enough for jobs to get to their end. */
function looks(graph: Graph, draw: Draw): Value[] {
  const look = (name: string): Value => ({ name, value: draw.int(0, 1) > 0 ? "stays" : "gone" })
  const parts = graph.places.filter(({ kind }) => kind === "part")
  return [
    ...graph.tests.flatMap(({ name, kind }) => (kind === "reads" || kind === "told" ? [] : [look(name)])),
    ...parts.flatMap(({ name }) => [look(`put back ${name}`), look(`replace ${name}`)]),
    ...graph.faults.map(({ name }) => look(`fix ${name}`)),
    look("look again"),
    { name: "proof run", value: draw.int(0, 2) > 0 ? "holds" : "fails" },
  ]
}

/** Rows for `ruleout_case` and `ruleout_finding`, as `INSERT`s. */
export function insertCases(cases: readonly SqlCase[]): string {
  const text = (value: string | undefined) =>
    value === undefined ? "NULL" : `'${value.replaceAll("'", "''")}'`
  const rows = cases.flatMap(({ id, findings }) =>
    findings.map(
      ({ name, value, number, unit, round, nth }) =>
        `(${text(id)}, ${text(name)}, ${text(value)}, ${number ?? "NULL"}, ${text(unit)}, ${round}, ${nth})`,
    ),
  )
  const statements: string[] = []
  const batch = (table: string, all: readonly string[]) => {
    for (let i = 0; i < all.length; i += 1000)
      statements.push(`INSERT INTO ruleout_${table} VALUES ${all.slice(i, i + 1000).join(",")};`)
  }
  batch(
    "case",
    cases.map(({ id, faults: [fault, other] }) => `(${text(id)}, ${text(fault)}, ${text(other)})`),
  )
  batch("finding", rows)
  return statements.join("\n")
}

/** What the runner says, in the columns of `ASK`; each way of findings is gone once. */
export function runnerSays(graph: Graph): (each: SqlCase) => string {
  const ways = new Map<string, Session>()
  const start = open(graph)
  return (each) => new Walk(graph, each, ways).from(start)
}

class Walk {
  readonly #graph: Graph
  readonly #case: SqlCase
  readonly #ways: Map<string, Session>
  readonly #known: ReadonlyMap<string, Finding>
  readonly #done = new Map<string, number>()
  readonly #bought: string[] = []
  #repairs = 0
  #steps = 0

  constructor(graph: Graph, each: SqlCase, ways: Map<string, Session>) {
    this.#graph = graph
    this.#case = each
    this.#ways = ways
    this.#known = new Map(each.findings.map((found) => [`${found.name} ${found.round} ${found.nth}`, found]))
  }

  from(start: Session): string {
    let session = start
    let node = this.#graph.nodes[this.#graph.start]
    for (let way = ""; ; this.#steps++) {
      // The runner would plan on from here, which takes it long.
      if (node?.do === "advise") return this.#said("advise")
      const { next } = session
      if (next.do === "end") return this.#said(next.closed ? "closed" : "handover")
      if (next.do === "handover") return this.#said("handover")
      if (next.by === "model") throw new Error(`the runner leaves the graph after ${way}`)
      const found = this.#found(next)
      if (found === undefined) return this.#said("open", nameOf(next))
      way += `/${JSON.stringify(found)}`
      const after = this.#ways.get(way) ?? session.answer(found)
      this.#ways.set(way, after)
      const edge = edgeAfter(node, after)
      // What fits no state of the machine ends the walk where it was found.
      if (edge === undefined) {
        if (after.hypotheses.length > 0) throw new Error(`the graph has no way on after ${way}`)
        return this.#said("handover")
      }
      this.#note(next)
      session = after
      node = edge.to === undefined ? undefined : this.#graph.nodes[edge.to]
    }
  }

  #said(ending: string, asked = ""): string {
    const { places, faults } = this.#graph
    const price = (names: readonly string[]) =>
      names.reduce((sum, name) => sum + (places.find((place) => place.name === name)?.price ?? 0), 0)
    const home = this.#case.faults.map(
      (name) => places[faults.find((fault) => fault.name === name)?.place ?? -1]?.name,
    )
    const vain =
      this.#case.faults.length > 0 ? price(this.#bought.filter((part) => !home.includes(part))) : ""
    return [
      this.#case.id,
      this.#steps,
      ending,
      asked.replaceAll(" ", "_"),
      this.#repairs,
      price(this.#bought),
      vain,
    ].join(",")
  }

  #note(step: ActionStep): void {
    if (step.do === "keep" || step.do === "replace") this.#bought.push(step.place!.name)
    if (step.do === "keep" || step.do === "replace" || step.do === "fix") {
      this.#repairs++
      this.#done.clear()
    } else this.#done.set(nameOf(step), (this.#done.get(nameOf(step)) ?? 0) + 1)
  }

  #found(step: ActionStep): Answer | undefined {
    if (step.do === "takeOut" || step.do === "keep") return "done"
    if (step.do === "close" && step.proofs.length === 0) return "holds"
    const nth = (this.#done.get(nameOf(step)) ?? 0) + 1
    if (step.reads.length === 0) return this.#known.get(`${nameOf(step)} ${this.#repairs} ${nth}`)?.value
    const values: [string, string | number][] = []
    for (const { name, told } of step.reads) {
      const found = this.#known.get(told ? `${name} 0 1` : `${name} ${this.#repairs} ${nth}`)
      if (found === undefined) return undefined
      const { value, number, unit } = found
      values.push([name, value ?? (unit === undefined ? number! : `${number} ${unit}`)])
    }
    return Object.fromEntries(values)
  }
}

/** The edge that the last finding takes. */
function edgeAfter(node: GraphNode | undefined, { log }: Session): GraphEdge | undefined {
  const last = log.at(-1)
  if (!node || !("edges" in node) || !last || !("found" in last)) return undefined
  return node.edges.find(({ on }) => `${on}` === `${last.found}`)
}

/** As a finding of the step is called in SQL. */
function nameOf({ act }: ActionStep): string {
  if ("test" in act) return act.test
  if ("putBack" in act) return `put back ${act.putBack}`
  if ("takeOut" in act) return `take out ${act.takeOut}`
  if ("keep" in act) return `keep ${act.keep}`
  if ("replace" in act) return `replace ${act.replace}`
  if ("fix" in act) return `fix ${act.fix}`
  return "look" in act ? "look again" : "proof run"
}
