/**
 * What a shop would write by hand instead of a graph: a cascade of `if`s over a record, as JavaScript. It knows a record's
 * first value of each reading and what each action came to first, and takes what is not recorded from the confirmed
 * fault where that is sure; it keeps no books of what was in the machine when, so a few cases end otherwise than in a replay.
 */
import type { Case, CaseAction } from "../../compiler/cases/record/case.ts"
import { keyOf, TrueMachine } from "../../compiler/cases/replay/true-machine.ts"
import type { Graph, GraphStep } from "../../compiler/run/graph.ts"

/** Gives the number of the node where a case ends, or -1 for what the record does not know, -2 where nothing fits. */
export type Cascade = (record: Case) => number

const WORDS = ["gone", "stays", "holds", "fails", "done"]

/** Every action of the graph that is looked at, numbered. */
function actionsOf(graph: Graph): Map<string, CaseAction> {
  const looked = graph.nodes.filter((node): node is GraphStep => "edges" in node && !readsOf(graph, node))
  return new Map(looked.map((node) => [keyOf(node), node]))
}

function readsOf(graph: Graph, node: GraphStep): readonly number[] | undefined {
  if (node.do !== "test" || !/reads|told/.test(graph.tests[node.test]!.kind)) return undefined
  return graph.model.tests[node.test]!.reads
}

export function cascadeOf(graph: Graph): Cascade {
  const actions = actionsOf(graph)
  const keys = [...actions.keys()]
  const code = graph.nodes.map(
    (node, n) => `function n${n}(cell, looked, fault) {\n${bodyOf(graph, keys, node, n)}\n}`,
  )
  const source = `
const cell = new Int16Array(${graph.readings.length}), looked = new Int8Array(${keys.length})
${code.join("\n")}
return function (record) {
  cell.fill(-1)
  looked.fill(0)
  for (const { reading, cell: found } of record.told) cell[reading] = found
  for (const step of record.steps) {
    if (typeof step.found === "string") {
      const at = numbers.get(keyOf(step))
      if (at !== undefined && looked[at] === 0) looked[at] = 1 + words.indexOf(step.found)
    } else for (const { reading, cell: value } of step.found) if (cell[reading] < 0) cell[reading] = value
  }
  const { confirmed } = record
  return n${graph.start}(cell, looked, confirmed.kind === "faults" ? confirmed.faults[0] : ${graph.faults.length})
}`
  const numbers = new Map(keys.map((key, i) => [key, i]))
  const make = new Function("sure", "numbers", "keyOf", "words", source)
  return make(sureLooks(graph, actions), numbers, keyOf, WORDS) as Cascade
}

function bodyOf(graph: Graph, keys: readonly string[], node: Graph["nodes"][number], n: number): string {
  if (!("edges" in node)) return `  return ${n}`
  const go = (to: number | undefined) =>
    to === undefined ? `return ${n}` : `return n${to}(cell, looked, fault)`
  const reads = readsOf(graph, node)
  if (!reads) {
    const at = keys.indexOf(keyOf(node))
    const ifs = node.edges.map(({ on, to }) => `  if (k === ${1 + WORDS.indexOf(String(on))}) ${go(to)}`)
    const sure = `sure[fault * ${keys.length} + ${at}]`
    return [`  const k = looked[${at}] || ${sure}`, "  if (k === 0) return -1", ...ifs, "  return -2"].join(
      "\n",
    )
  }
  const names = reads.map((reading, i) => `  const r${i} = cell[${reading}]\n  if (r${i} < 0) return -1`)
  const ifs = node.edges.map(({ on, to }) => {
    const when = (on as readonly number[]).map((cell, i) => `r${i} === ${cell}`).join(" && ")
    return `  if (${when}) ${go(to)}`
  })
  return [...names, ...ifs, "  return -2"].join("\n")
}

/** By fault and action: 1 and the word that it surely comes to on the machine as it came in; 0 where it is not sure. */
function sureLooks(graph: Graph, actions: ReadonlyMap<string, CaseAction>): Int8Array {
  const sure = new Int8Array((graph.faults.length + 1) * actions.size)
  const machine = new TrueMachine(graph)
  graph.faults.forEach((_, fault) => {
    const start = machine.start({ kind: "faults", faults: [fault] })
    ;[...actions.values()].forEach((action, at) => {
      const words =
        action.do === "close"
          ? ["holds"]
          : action.do === "takeOut" || action.do === "keep"
            ? ["done"]
            : ["gone", "stays"]
      // A proof run comes after the repair.
      const word =
        words.length === 1
          ? words[0]
          : words.find((each) => (machine.step(start, action).chance(each as "gone") ?? 0) > 1 - 1e-9)
      if (word !== undefined) sure[fault * actions.size + at] = 1 + WORDS.indexOf(word)
    })
  })
  return sure
}
