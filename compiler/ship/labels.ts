/** What the nodes and edges of a graph are called in everything that is read by people. */

import type { Graph, GraphEdge, GraphNode, GraphPlace, GraphStep, GraphWork } from "../run/graph.ts"
import { at } from "../run/lookup.ts"
import { placeOf, toolsOf, workOf } from "../run/work.ts"
import { type ActionKind, actionTitle, outcomeText } from "../wording/actions.ts"
import { duration, minutes as minutesText, money } from "../wording/figures.ts"
import { cellsText } from "../wording/ranges.ts"
import { counted, listed } from "../wording/sentence.ts"

/** Whether something is done at this node; else the job is handed over, or the graph isn't planned further. */
export function isStep(node: GraphNode): node is GraphStep {
  return node.do !== "handover" && node.do !== "advise"
}

export function kindOf(graph: Graph, node: GraphNode): ActionKind {
  return node.do === "test" ? at(graph.tests, node.test).kind : node.do
}

/** What to do, in one line: the instruction of a test, else the action and what it is done to. */
export function nodeTitle(graph: Graph, node: GraphNode): string {
  switch (node.do) {
    case "test":
      return at(graph.tests, node.test).instruction
    case "fix":
      return actionTitle("fix", [at(graph.faults, node.fault).label])
    case "look":
    case "close":
    case "handover":
    case "advise":
      return actionTitle(node.do)
    default:
      return actionTitle(node.do, [at(graph.places, node.part).label])
  }
}

/** Minutes, waiting, power, what is needed, and the price of a part that is bought. */
export function nodeFacts(graph: Graph, node: GraphNode): string[] {
  switch (node.do) {
    case "test": {
      const { minutes, waits = 0, power } = at(graph.tests, node.test)
      return [
        ...workFacts({ minutes, waits }),
        ...(power === undefined ? [] : [`power ${power}`]),
        ...needsText(graph, node),
      ]
    }
    case "keep":
      return [priceText(graph, at(graph.places, node.part))]
    case "replace":
    case "fix":
      return [
        ...(node.do === "replace" ? [priceText(graph, at(graph.places, node.part))] : []),
        ...workFacts(workOf(graph.model, node)),
        ...needsText(graph, node),
      ]
    case "close": {
      const runs = node.proofs.map((proof) => at(graph.proofs, proof))
      const minutes = runs.reduce((sum, run) => sum + run.times * run.minutes, 0)
      return runs.length === 0
        ? ["no proof run"]
        : [`proof run: ${counted(runs.length, "item")}`, ...(minutes > 0 ? [minutesText(minutes)] : [])]
    }
    default:
      return []
  }
}

function priceText({ money: currency }: Graph, { price = 0 }: GraphPlace): string {
  return `buys it: ${money(price, currency)}`
}

function workFacts(work: Pick<GraphWork, "minutes" | "waits"> | null | undefined): string[] {
  if (!work) return []
  return [
    ...(work.minutes > 0 ? [minutesText(work.minutes)] : []),
    ...(work.waits > 0 ? [`then ${duration(work.waits)} of waiting`] : []),
  ]
}

function needsText(graph: Graph, node: GraphNode): string[] {
  const tools = toolsOf(graph, node)
  return tools.length === 0 ? [] : [`needs ${listed(tools)}`]
}

/** Setups that are redone on the way to what an action works on, as labels. */
export function disturbedBy(graph: Graph, node: GraphNode): string[] {
  if (!isStep(node)) return []
  const place = placeOf(graph, node)
  const reached =
    node.do === "test"
      ? (at(graph.model.tests, node.test).parts ?? [])
      : place === undefined || node.do === "keep" || node.do === "takeOut"
        ? []
        : [place]
  const setups = reached.flatMap((part) => at(graph.model.reach, part).map(([setup]) => setup))
  return [...new Set(setups)].filter((setup) => setup !== place).map((setup) => at(graph.places, setup).label)
}

/** How a fault is fixed, in the author's words: of a fix its own remedy, of a new part those of the faults in it. */
export function remediesOf(graph: Graph, node: GraphNode): string[] {
  if (node.do === "fix") return present(at(graph.faults, node.fault).remedy)
  if (node.do !== "replace") return []
  return graph.faults.flatMap(({ place, remedy }) => (place === node.part ? present(remedy) : []))
}

function present(text: string | undefined): string[] {
  return text === undefined ? [] : [text]
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function outcomesText(graph: Graph, node: GraphStep, edges: readonly GraphEdge[]): string {
  const reads = node.do === "test" ? (at(graph.model.tests, node.test).reads ?? []) : []
  const alone = edges.flatMap(({ on }) => (typeof on === "string" ? [] : on))
  if (reads.length === 1 && alone.length === edges.length)
    return cellsText(at(graph.readings, at(reads, 0)), alone)
  return edges.map((edge) => edgeText(graph, node, edge)).join(" or ")
}

/** One outcome in words; after a swap that changed nothing, with what becomes of the part. */
export function edgeText(graph: Graph, node: GraphStep, { on, leaveIn }: GraphEdge): string {
  if (typeof on === "string") {
    if (on !== "stays" || kindOf(graph, node) !== "swaps") return outcomeText(on)
    return `${outcomeText(on)}: ${leaveIn ? "leave the shop's part in" : "put the old part back"}`
  }
  return readTexts(graph, node, on).join(", ")
}

/** What each reading of a step showed; with its name where there are several. */
export function readTexts(graph: Graph, node: GraphStep, found: Exclude<GraphEdge["on"], string>): string[] {
  const reads = node.do === "test" ? (at(graph.model.tests, node.test).reads ?? []) : []
  return found.map((cell, i) => {
    const { name, cells } = at(graph.readings, at(reads, i))
    return reads.length > 1 ? `${name} ${at(cells, cell).label}` : at(cells, cell).label
  })
}
