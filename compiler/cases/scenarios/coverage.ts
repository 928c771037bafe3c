/** What of a ruleset and of its graph some played scenarios have touched. */
import { holds } from "../../run/condition.ts"
import type { Done, Entry } from "../../run/index.ts"
import { readsOf } from "../record/graph-lookup.ts"
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
function rulesMet({ graph }: GraphIndex, done: readonly Done[]): Set<number> {
  const met = new Set<number>()
  const cells = new Map<number, number>()
  for (const { act, found } of done) {
    if (typeof found === "string") continue
    const readings = readingsOf(graph, act)
    for (const [i, reading] of readings.entries()) cells.set(reading, found[i]!)
    for (const [rule, { when }] of graph.model.rules.entries())
      if (holds(when, (reading) => cells.get(reading)) === true) met.add(rule)
  }
  return met
}

function readingsOf(graph: GraphIndex["graph"], act: Done["act"]): readonly number[] {
  if ("reading" in act) return [graph.readings.findIndex(({ name }) => name === act.reading)]
  if (!("test" in act)) return []
  return (
    readsOf(
      graph,
      graph.tests.findIndex(({ name }) => name === act.test),
    ) ?? []
  )
}

/** As far as the log follows the graph, step by step. */
function edgesTaken(index: GraphIndex, done: readonly Done[]): number[] {
  const taken: number[] = []
  let at: number | undefined = index.graph.start
  for (const entry of done) {
    if (at === undefined || !isAt(index, at, entry)) break
    const edge = edgeFor(index, at, entry.found)
    if (edge < 0) break
    taken.push(edge)
    at = index.edges[edge]!.to
  }
  return taken
}

function isAt({ graph }: GraphIndex, number: number, { act }: Done): boolean {
  const node = graph.nodes[number]!
  switch (node.do) {
    case "test":
      return "test" in act && graph.tests[node.test]!.name === act.test
    case "fix":
      return "fix" in act && graph.faults[node.fault]!.name === act.fix
    case "look":
    case "close":
      return node.do in act
    case "handover":
    case "advise":
      return false
    default:
      return (act as Readonly<Record<string, unknown>>)[node.do] === graph.places[node.part]!.name
  }
}
