/**
 * What a shop would write by hand instead of a graph: a cascade of `if`s over a record, as JavaScript. It knows a record's
 * first value of each reading and what each swap or redoing came to, and takes what is not recorded from the confirmed
 * fault where that is sure; it keeps no books of when a reading was taken, so a few cases end otherwise than in a replay.
 */
import type { Case } from "../../compiler/cases/record/case.ts"
import { look, untouched } from "../../compiler/cases/replay/true-machine.ts"
import type { Graph } from "../../compiler/run/graph.ts"

/** Gives the number of the node where a case ends, or -1 for what the record does not know, -2 where nothing fits. */
export type Cascade = (record: Case) => number

export function cascadeOf(graph: Graph): Cascade {
  const tests = graph.tests.length
  const code = graph.nodes.map(
    (node, n) => `function n${n}(cell, looked, fault) {\n${bodyOf(graph, node, n)}\n}`,
  )
  const source = `
const cell = new Int16Array(${graph.readings.length}), looked = new Int8Array(${2 * tests})
${code.join("\n")}
return function (record) {
  cell.fill(-1)
  looked.fill(0)
  for (const { reading, cell: found } of record.told) cell[reading] = found
  for (const { test, putBack, found } of record.steps) {
    if (found === "gone" || found === "stays") looked[2 * test + (putBack ? 1 : 0)] = found === "gone" ? 1 : 2
    else for (const { reading, cell: value } of found) if (cell[reading] < 0) cell[reading] = value
  }
  return n${graph.start}(cell, looked, record.truth.known === "listed" ? record.truth.fault : ${graph.faults.length})
}`
  return new Function("sure", source)(sureLooks(graph)) as Cascade
}

function bodyOf(graph: Graph, node: Graph["nodes"][number], n: number): string {
  if (node.do !== "test") return `  return ${n}`
  const to = (edge: { readonly to: number }) => `return n${edge.to}(cell, looked, fault)`
  const reads = graph.tests[node.test]!.kind.match(/reads|told/)
    ? graph.model.tests[node.test]!.reads
    : undefined
  if (!reads) {
    const at = 2 * node.test + (node.putBack ? 1 : 0)
    const ifs = node.edges.map((edge) => `  if (k === ${edge.cells === "gone" ? 1 : 2}) ${to(edge)}`)
    const sure = `sure[fault * ${2 * graph.tests.length} + ${at}]`
    return [`  const k = looked[${at}] || ${sure}`, "  if (k === 0) return -1", ...ifs, "  return -2"].join(
      "\n",
    )
  }
  const names = reads.map((reading, i) => `  const r${i} = cell[${reading}]\n  if (r${i} < 0) return -1`)
  const ifs = node.edges.map((edge) => {
    const when = (edge.cells as readonly number[]).map((cell, i) => `r${i} === ${cell}`).join(" && ")
    return `  if (${when}) ${to(edge)}`
  })
  return [...names, ...ifs, "  return -2"].join("\n")
}

/** By fault and look: 1 where the complaint is surely gone, 2 where it surely stays. */
function sureLooks(graph: Graph): Int8Array {
  const tests = graph.tests.length
  const sure = new Int8Array((graph.faults.length + 1) * 2 * tests)
  const of = (gone = 0.5) => (gone > 1 - 1e-9 ? 1 : gone < 1e-9 ? 2 : 0)
  graph.faults.forEach((_, fault) => {
    const truth = { known: "listed", fault } as const
    for (let test = 0; test < tests; test++) {
      const first = look(graph, truth, untouched, test, false)
      sure[fault * 2 * tests + 2 * test] = of(first.gone)
      sure[fault * 2 * tests + 2 * test + 1] = of(look(graph, truth, first.after.gone, test, true).gone)
    }
  })
  return sure
}
