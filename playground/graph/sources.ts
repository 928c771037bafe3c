import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Graph } from "../../compiler/run/graph.ts"

/** Where each thing of the graph stands in the source; lists run as in the graph. */
export interface Sources {
  readonly tests: readonly Span[]
  readonly rules: readonly Span[]
  readonly faults: readonly Span[]
  readonly readings: readonly Span[]
  readonly places: readonly Span[]
  readonly proofs: readonly Span[]
}

/** The spans of source that a node comes from: its test, what it reads, the rules that act after it, the remedy's place. */
export function spansOf(graph: Graph, sources: Sources, at: number): Span[] {
  const node = graph.nodes[at]
  if (!node) return []
  const found = new Map<string, Span>()
  const add = (span: Span | undefined) => {
    if (span) found.set(`${span.file}:${span.start}`, span)
  }
  if (node.do === "test") {
    add(sources.tests[node.test])
    for (const reading of graph.model.tests[node.test]?.reads ?? []) add(sources.readings[reading])
    for (const edge of node.edges) for (const rule of edge.because) add(sources.rules[rule])
  } else if (node.do === "verdict") {
    if (node.remedy.place !== undefined) add(sources.places[node.remedy.place])
    for (const candidate of node.candidates.slice(0, 3)) add(sources.faults[candidate.fault])
    for (const proof of node.proofs) add(sources.proofs[proof])
  } else if (node.do === "handover") {
    for (const candidate of node.candidates.slice(0, 6)) add(sources.faults[candidate.fault])
  }
  return [...found.values()]
}

/** The nodes that the declaration under a caret made. */
export function nodesAt(graph: Graph, sources: Sources, file: string, offset: number): Set<number> {
  const under = (spans: readonly Span[]) =>
    new Set(spans.flatMap((s, i) => (s.file === file && s.start <= offset && offset <= s.end ? [i] : [])))
  const tests = under(sources.tests)
  const rules = under(sources.rules)
  const faults = under(sources.faults)
  const readings = under(sources.readings)
  const places = under(sources.places)
  const proofs = under(sources.proofs)
  const lit = new Set<number>()
  for (const [at, node] of graph.nodes.entries()) {
    if (node.do === "test") {
      const test = graph.model.tests[node.test]
      const made =
        tests.has(node.test) ||
        test?.reads?.some((reading) => readings.has(reading)) ||
        (test?.part !== undefined && places.has(test.part)) ||
        test?.redoes?.some(([setup]) => places.has(setup)) ||
        node.edges.some((edge) => edge.because.some((rule) => rules.has(rule)))
      if (made) lit.add(at)
    } else if (node.do === "verdict") {
      const first = node.candidates[0]?.fault
      const made =
        (node.remedy.place !== undefined && places.has(node.remedy.place)) ||
        (first !== undefined && faults.has(first)) ||
        node.proofs.some((proof) => proofs.has(proof))
      if (made) lit.add(at)
    }
  }
  return lit
}

/** Text of the graph that a search looks through, by node. */
export function wordsOf(graph: Graph, at: number): string {
  const node = graph.nodes[at]!
  if (node.do === "test") {
    const test = graph.tests[node.test]!
    const reads = (graph.model.tests[node.test]?.reads ?? []).map((r) => graph.readings[r]!.name)
    return [test.name, test.instruction, ...reads, ...test.needs].join(" ").toLowerCase()
  }
  if (node.do === "advise") return ""
  const faults = node.candidates.map((c) => `${graph.faults[c.fault]!.name} ${graph.faults[c.fault]!.label}`)
  const place =
    node.do === "verdict" && node.remedy.place !== undefined ? graph.places[node.remedy.place]! : undefined
  return [node.do, place?.name ?? "", place?.label ?? "", ...faults].join(" ").toLowerCase()
}
