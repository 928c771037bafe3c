/** How the parts of a graph are called in everything that is read by people. */
import type { Graph, GraphEdge, GraphNode, GraphReading, Remedy } from "../run/graph.ts"

export type NodeKind = "reads" | "told" | "swaps" | "redoes" | "putBack" | "verdict" | "handover" | "advise"

export function kindOf(graph: Graph, node: GraphNode): NodeKind {
  if (node.do !== "test") return node.do
  return node.putBack ? "putBack" : graph.tests[node.test]!.kind
}

export function percent(chance: number): string {
  const value = chance * 100
  if (value > 0 && value < 0.1) return "< 0.1 %"
  if (value >= 99.95 && value < 100) return "> 99.9 %"
  return `${value < 10 && value % 1 !== 0 ? value.toFixed(1) : Math.round(value)} %`
}

export function remedyText(graph: Graph, remedy: Remedy): string {
  const label = remedy.place === undefined ? "" : graph.places[remedy.place]!.label
  if (remedy.kind === "replace") return `Replace: ${label}`
  if (remedy.kind === "redo") return `Redo: ${label}`
  return "Nothing more to do: it is mended"
}

export function nodeTitle(graph: Graph, node: GraphNode): string {
  if (node.do === "verdict") return remedyText(graph, node.remedy)
  if (node.do === "handover") return "Hand over"
  if (node.do === "advise") return "Not planned ahead: ask the runner"
  if (!node.putBack) return graph.tests[node.test]!.instruction
  const { part } = graph.model.tests[node.test]!
  return `Put the old part back: ${part === undefined ? "" : graph.places[part]!.label}`
}

/** Minutes, power, what is needed; of a verdict how sure it is. */
export function nodeFacts(graph: Graph, node: GraphNode): string[] {
  if (node.do === "verdict")
    return [`${node.remedy.kind === "done" ? "sure" : "mends it"}: ${percent(node.chance)}`]
  if (node.do !== "test") return []
  const { minutes, power, needs } = graph.tests[node.test]!
  return [
    `${minutes} min`,
    ...(power === undefined ? [] : [`power ${power}`]),
    ...(needs.length === 0 ? [] : [`needs ${needs.join(", ")}`]),
  ]
}

export function cautionsOf(graph: Graph, node: GraphNode): readonly string[] {
  return node.do === "test" ? graph.tests[node.test]!.cautions : []
}

/** `yes or no`, `below 22.8 V`, `5 to 40 ohm or above 200 ohm`: cells side by side are one range. */
export function cellsText({ cells: all, unit = "" }: GraphReading, cells: readonly number[]): string {
  const runs: [first: number, last: number][] = []
  for (const cell of [...cells].sort((a, b) => a - b)) {
    const run = runs.at(-1)
    if (run?.[1] === cell - 1 && all[cell]!.from !== undefined) run[1] = cell
    else runs.push([cell, cell])
  }
  const end = all.length - 1
  return runs
    .map(([first, last]) => {
      if (first === last) return all[first]!.label
      const [from, to] = [all[first]!.from!, all[last]!.to!]
      if (first > 0) return last < end ? `${from} to ${to} ${unit}` : `from ${from} ${unit}`
      if (last === end) return `${from} to ${to} ${unit}`
      // Of the two values beside the border the rounder one is mostly the limit that the author wrote.
      const next = all[last + 1]!.from!
      return String(next).length < String(to).length ? `below ${next} ${unit}` : `up to ${to} ${unit}`
    })
    .join(" or ")
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function outcomesText(graph: Graph, test: number, outcomes: readonly GraphEdge["cells"][]): string {
  const reads = graph.model.tests[test]!.reads ?? []
  const alone = outcomes.flatMap((cells) => (typeof cells === "string" ? [] : cells))
  if (reads.length === 1 && alone.length === outcomes.length)
    return cellsText(graph.readings[reads[0]!]!, alone)
  return outcomes.map((cells) => outcomeText(graph, reads, cells)).join(" or ")
}

function outcomeText(graph: Graph, reads: readonly number[], cells: GraphEdge["cells"]): string {
  if (cells === "gone") return "complaint gone"
  if (cells === "stays") return "complaint stays"
  return cells
    .map((cell, i) => {
      const { name, cells: all } = graph.readings[reads[i]!]!
      return reads.length > 1 ? `${name} ${all[cell]!.label}` : all[cell]!.label
    })
    .join(", ")
}
