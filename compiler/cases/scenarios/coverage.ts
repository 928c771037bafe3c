/** What of a ruleset and of its graph some played scenarios have touched. */

import { holds } from "../../run/condition.ts"
import type { Done, Entry } from "../../run/index.ts"
import type { CellIndex, NodeIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at, lookUp } from "../../run/lookup.ts"
import { namesOf, readsOf } from "../record/graph-lookup.ts"
import { edgeFor, type GraphIndex } from "../replay/graph-index.ts"

export interface Coverage {
  /** By rule: whether its condition was met in some scenario. */
  readonly rules: readonly boolean[]
  /** By edge of the graph: whether some scenario took it. */
  readonly branches: readonly boolean[]
}

export function coverage(index: GraphIndex, logs: readonly (readonly Entry[])[]): Coverage {
  const rules = index.graph.rules.map(() => false)
  const branches = index.edges.map(() => false)
  for (const log of logs) {
    const done = log.filter((entry): entry is Done => "act" in entry)
    for (const rule of rulesMet(index, done)) rules[rule] = true
    for (const edge of edgesTaken(index, done)) branches[edge] = true
  }
  return { rules, branches }
}

/** Rules whose condition was known to be true after some step, by the last findings. */
function rulesMet({ graph }: GraphIndex, done: readonly Done[]): Set<RuleIndex> {
  const met = new Set<RuleIndex>()
  const cells = new Map<ReadingIndex, CellIndex>()
  for (const { act, found } of done) {
    if (typeof found === "string") continue
    const readings = readingsOf(graph, act)
    for (const [i, reading] of readings.entries()) cells.set(reading, at(found, i))
    for (const [rule, { when }] of graph.model.rules.entries())
      if (holds(when, (reading) => cells.get(reading)) === true) met.add(rule)
  }
  return met
}

function readingsOf(graph: GraphIndex["graph"], act: Done["act"]): readonly ReadingIndex[] {
  const { readings, tests } = namesOf(graph)
  if ("reading" in act) return [lookUp(readings, act.reading)]
  return "test" in act ? (readsOf(graph, lookUp(tests, act.test)) ?? []) : []
}

/** As far as the log follows the graph, step by step. */
function edgesTaken(index: GraphIndex, done: readonly Done[]): number[] {
  const taken: number[] = []
  let node: NodeIndex | undefined = index.graph.start
  for (const entry of done) {
    if (node === undefined || !isAt(index, node, entry)) break
    const edge = edgeFor(index, node, entry.found)
    if (edge < 0) break
    taken.push(edge)
    node = at(index.edges, edge).to
  }
  return taken
}

function isAt({ graph }: GraphIndex, number: NodeIndex, { act }: Done): boolean {
  const node = at(graph.nodes, number)
  switch (node.do) {
    case "test":
      return "test" in act && at(graph.tests, node.test).name === act.test
    case "fix":
      return "fix" in act && at(graph.faults, node.fault).name === act.fix
    case "look":
    case "close":
      return node.do in act
    case "handover":
    case "advise":
      return false
    default:
      return (act as Readonly<Record<string, unknown>>)[node.do] === at(graph.places, node.part).name
  }
}
