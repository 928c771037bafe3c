/** What the nodes and edges of a graph are called in everything that is read by people. */

import type { Graph, GraphEdge, GraphNode, GraphPlace, GraphStep, GraphWork } from "../run/graph.ts"
import { at } from "../run/lookup.ts"
import { placeOf, toolsOf, workOf } from "../run/work.ts"
import { type ActionKind, actionTitle, outcomeText } from "../wording/actions.ts"
import * as m from "../wording/compiled/common.ts"
import { cellLabel, cellsText } from "../wording/ranges.ts"
import { english, type Words } from "../wording/words.ts"

/** Whether something is done at this node; else the job is handed over, or the graph isn't planned further. */
export function isStep(node: GraphNode): node is GraphStep {
  return node.do !== "handover" && node.do !== "advise"
}

export function kindOf(graph: Graph, node: GraphNode): ActionKind {
  return node.do === "test" ? at(graph.tests, node.test).kind : node.do
}

/** What to do, in one line: the instruction of a test, else the action and what it is done to. */
export function nodeTitle(graph: Graph, node: GraphNode, words: Words = english): string {
  switch (node.do) {
    case "test":
      return at(graph.tests, node.test).instruction
    case "fix":
      return actionTitle("fix", [at(graph.faults, node.fault).label], words)
    case "look":
    case "close":
    case "handover":
    case "advise":
      return actionTitle(node.do, [], words)
    default:
      return actionTitle(node.do, [at(graph.places, node.part).label], words)
  }
}

/** Minutes, waiting, power, what is needed, and the price of a part that is bought. */
export function nodeFacts(graph: Graph, node: GraphNode, words: Words): string[] {
  switch (node.do) {
    case "test": {
      const { minutes, waits = 0, power } = at(graph.tests, node.test)
      return [
        ...workFacts({ minutes, waits }, words),
        ...(power === undefined ? [] : [powerText(power, words)]),
        ...needsText(graph, node, words),
      ]
    }
    case "keep":
      return [priceText(graph, at(graph.places, node.part), words)]
    case "replace":
    case "fix":
      return [
        ...(node.do === "replace" ? [priceText(graph, at(graph.places, node.part), words)] : []),
        ...workFacts(workOf(graph.model, node), words),
        ...needsText(graph, node, words),
      ]
    case "close": {
      const runs = node.proofs.map((proof) => at(graph.proofs, proof))
      const minutes = runs.reduce((sum, run) => sum + run.times * run.minutes, 0)
      return runs.length === 0
        ? [words.say(m.noProofRun)]
        : [words.say(m.proofRunItems, { n: runs.length }), ...(minutes > 0 ? [words.minutes(minutes)] : [])]
    }
    default:
      return []
  }
}

/** Whether the machine is on or off at a test. */
export function powerText(power: "on" | "off", words: Words): string {
  return words.say(m.powerState, { power: power === "on" ? "on" : "other" })
}

function priceText({ money: currency }: Graph, { price = 0 }: GraphPlace, words: Words): string {
  return words.say(m.buysPart, { price: words.money(price, currency) })
}

function workFacts(work: Pick<GraphWork, "minutes" | "waits"> | null | undefined, words: Words): string[] {
  if (!work) return []
  return [
    ...(work.minutes > 0 ? [words.minutes(work.minutes)] : []),
    ...(work.waits > 0 ? [words.say(m.thenWaiting, { time: words.duration(work.waits) })] : []),
  ]
}

function needsText(graph: Graph, node: GraphNode, words: Words): string[] {
  const tools = toolsOf(graph, node)
  return tools.length === 0 ? [] : [words.say(m.needsTools, { what: words.listed(tools) })]
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
export function outcomesText(
  graph: Graph,
  node: GraphStep,
  edges: readonly GraphEdge[],
  words: Words,
): string {
  const reads = node.do === "test" ? (at(graph.model.tests, node.test).reads ?? []) : []
  const alone = edges.flatMap(({ on }) => (typeof on === "string" ? [] : on))
  if (reads.length === 1 && alone.length === edges.length)
    return cellsText(at(graph.readings, at(reads, 0)), alone, words)
  return words.alternatives(edges.map((edge) => edgeText(graph, node, edge, words)))
}

/** One outcome in words; after a swap that changed nothing, with what becomes of the part. */
export function edgeText(
  graph: Graph,
  node: GraphStep,
  { on, leaveIn }: GraphEdge,
  words: Words = english,
): string {
  if (typeof on === "string") {
    if (on !== "stays" || kindOf(graph, node) !== "swaps") return outcomeText(on, words)
    return words.say(leaveIn ? m.staysLeaveIn : m.staysPutBack)
  }
  return readTexts(graph, node, on, words).join(", ")
}

/** What each reading of a step showed; with its name where there are several. */
export function readTexts(
  graph: Graph,
  node: GraphStep,
  found: Exclude<GraphEdge["on"], string>,
  words: Words = english,
): string[] {
  const reads = node.do === "test" ? (at(graph.model.tests, node.test).reads ?? []) : []
  return found.map((cell, i) => {
    const { name, cells } = at(graph.readings, at(reads, i))
    const label = cellLabel(at(cells, cell), words)
    return reads.length > 1 ? `${name} ${label}` : label
  })
}
