import { type Signal, useComputed } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { jobs } from "../actions/bench.ts"
import { casesState, chosenCase } from "../actions/case-file.ts"
import { difference } from "../actions/compare-graphs.ts"
import type { Compiled } from "../state/plan-state.ts"
import { caret, version } from "../state/state.ts"
import { pathOf } from "./job-path.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import { nodesAt, searchText } from "./sources.ts"

/**
 * Nodes that stand out: those that a search found, or where the plan parts from another; those of the line at the caret;
 * and the way of the job at hand.
 */
export function useMarks(
  { graph, sources, version: of }: Compiled,
  figures: NodeFigures,
  query: Signal<string>,
) {
  const found = useComputed(() => {
    const words = query.value.trim().toLowerCase()
    if (words === "") return new Set(difference.value?.partings.flatMap(({ node }) => node ?? []))
    const hits = graph.nodes.flatMap((_, at) => (searchText(graph, at).includes(words) ? [at] : []))
    return new Set(hits.sort((a, b) => reachOf(figures, b) - reachOf(figures, a)))
  })
  const lit = useComputed(() => {
    const at = caret.value
    return at && of === version.value ? nodesAt(graph, sources, at.file, at.offset) : new Set<number>()
  })
  const way = useComputed(() => wayAtHand(graph))
  const path = useComputed(() => new Set(way.value.nodes))
  return { found, lit, way, path }
}

interface Way {
  readonly nodes: readonly number[]
  /** Whose it is; empty for nobody's. */
  readonly says: string
}

/** The way of the chosen case, else of the job at the bench, where either is of this graph. */
function wayAtHand(graph: Graph): Way {
  const { rows, graph: replayed } = casesState.value
  const row = replayed === graph ? rows?.find(({ line }) => line === chosenCase.value) : undefined
  if (row) {
    const nodes = [...row.way.map(({ node }) => node), ...(row.end === undefined ? [] : [row.end])]
    return { nodes, says: `case ${row.id}` }
  }
  const job = jobs.current.value
  const log = job?.graph.ruleset.source === graph.ruleset.source ? job.session.value.log : []
  return job && log.length > 0
    ? { nodes: pathOf(graph, log), says: `job ${job.saved.value.id}` }
    : { nodes: [], says: "" }
}
