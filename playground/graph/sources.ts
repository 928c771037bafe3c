import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Graph, GraphNode } from "../../compiler/run/graph.ts"
import { at } from "../../compiler/run/lookup.ts"
import { placeOf } from "../../compiler/run/work.ts"
import { isStep, kindOf, nodeOf, nodeTitle } from "./labels.ts"

/** Where everything in the graph is declared in the source; lists are in the order of the graph. */
export interface Sources {
  readonly complaint: Span
  readonly tests: readonly Span[]
  readonly rules: readonly Span[]
  readonly faults: readonly Span[]
  readonly readings: readonly Span[]
  readonly places: readonly Span[]
  readonly proofs: readonly Span[]
}

export function sourcesOf(model: Model): Sources {
  const spans = (list: readonly { readonly span: Span }[]) => list.map(({ span }) => span)
  return {
    complaint: model.complaint.span,
    tests: spans(model.tests),
    rules: spans(model.rules),
    faults: spans(model.faults),
    readings: spans(model.readings),
    places: spans(model.places),
    proofs: spans(model.proofs),
  }
}

const CANDIDATES_SHOWN = 6

/** The declarations that a node comes from: what it does, what it reads, and the rules that act after it. */
export function spansOf(graph: Graph, sources: Sources, index: number): Span[] {
  const node = graph.nodes[index]
  if (!node) return []
  const found = new Map<string, Span>()
  for (const span of declarations(graph, sources, node))
    if (span) found.set(`${span.file}:${span.start}`, span)
  return [...found.values()]
}

function declarations(graph: Graph, sources: Sources, node: GraphNode): (Span | undefined)[] {
  if (node.do === "handover")
    return node.candidates.slice(0, CANDIDATES_SHOWN).map(({ fault }) => sources.faults[fault ?? -1])
  if (!isStep(node)) return []
  const place = placeOf(graph, node)
  const { parts = [], reads = [], redoes = [] } = node.do === "test" ? at(graph.model.tests, node.test) : {}
  return [
    ...(node.do === "test" ? [sources.tests[node.test]] : []),
    ...(node.do === "fix" ? [sources.faults[node.fault]] : []),
    ...(node.do === "look" ? [sources.complaint] : []),
    ...(node.do === "close" ? node.proofs.map((proof) => sources.proofs[proof]) : []),
    ...(place === undefined ? [] : [sources.places[place]]),
    ...reads.map((reading) => sources.readings[reading]),
    ...parts.map((part) => sources.places[part]),
    ...redoes.map(([setup]) => sources.places[setup]),
    ...node.edges.flatMap(({ because }) => because.map((rule) => sources.rules[rule])),
  ]
}

/** The nodes that come from the declaration under a caret. */
export function nodesAt(graph: Graph, sources: Sources, file: string, offset: number): Set<number> {
  const isUnder = (span: Span | undefined) =>
    span !== undefined && span.file === file && span.start <= offset && offset <= span.end
  return new Set(
    graph.nodes.flatMap((node, index) => (declarations(graph, sources, node).some(isUnder) ? [index] : [])),
  )
}

/** Text of a node that a search looks through. */
export function searchText(graph: Graph, index: number): string {
  const node = nodeOf(graph, index)
  return [kindOf(graph, node), nodeTitle(graph, node), ...namesOf(graph, node)].join(" ").toLowerCase()
}

/** What of a node a search found, where it isn't its title. */
export function matchIn(graph: Graph, index: number, query: string): string | undefined {
  const node = nodeOf(graph, index)
  const words = query.trim().toLowerCase()
  if (nodeTitle(graph, node).toLowerCase().includes(words)) return undefined
  return namesOf(graph, node).find((name) => name.toLowerCase().includes(words))
}

function namesOf(graph: Graph, node: GraphNode): string[] {
  if (node.do === "handover")
    return node.candidates.flatMap(({ fault }) => {
      const known = graph.faults[fault ?? -1]
      return known ? [known.name, known.label] : []
    })
  if (!isStep(node)) return []
  if (node.do === "fix") return [at(graph.faults, node.fault).name]
  const place = placeOf(graph, node)
  if (place !== undefined) return [at(graph.places, place).name]
  if (node.do !== "test") return []
  const { name, needs } = at(graph.tests, node.test)
  const { reads = [], parts = [] } = at(graph.model.tests, node.test)
  const read = reads.map((reading) => at(graph.readings, reading).name)
  return [name, ...read, ...parts.map((part) => at(graph.places, part).name), ...needs]
}
