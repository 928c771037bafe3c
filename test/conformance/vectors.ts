import type { Graph, GraphNode, Remedy } from "../../compiler/run/graph.ts"
import { belief, outcomes, type State, start } from "../support/reference.ts"
import { modelFrom } from "../support/unwrite.ts"

/** A file of vectors: one graph, and walks over it. `README.md` says how a runner is held against it. */
export interface Vectors {
  readonly format: "ruleout-vectors/1"
  readonly graph: Graph
  readonly walks: readonly Walk[]
}

export interface Walk {
  readonly about: string
  /** Before anything is found. */
  readonly start: Expected
  readonly steps: readonly { readonly do: Act; readonly expect: Expected | "refused" }[]
}

export type Act =
  | { readonly find: string; readonly found: unknown }
  | { readonly cannot: string }
  /** Index of the step taken back, among those not taken back before, from 0. */
  | { readonly undo: number }

/** Chances by the fault's name; a fault that is not named has none. */
export interface Expected {
  readonly uncured: Readonly<Record<string, number>>
  readonly cured: Readonly<Record<string, number>>
  /** What is to be done; `model` where no path of the graph fits, and a runner is free to choose. */
  readonly next:
    | { readonly do: "test"; readonly test: string }
    | { readonly do: "putBack"; readonly part: string }
    | { readonly do: "verdict"; readonly remedy: Remedy; readonly chance: number }
    | { readonly do: "handover" }
    | { readonly do: "model" }
}

/** What has been found, by index: of a test, or of a reading that was learnt without one. */
export interface Known {
  readonly test?: number
  readonly putBack?: boolean
  readonly cannot?: boolean
  readonly reading?: number
  readonly found?: readonly number[] | "gone" | "stays"
}

/** What every runner must say after these findings: the chances by the reference, the step by the page on the graph. */
export function expected(graph: Graph, log: readonly Known[]): Expected {
  const model = modelFrom(graph)
  // A reading without its test is found by a test of its own.
  const loose = graph.readings.map((reading, r) => ({
    ...model.tests[0]!,
    name: reading.name,
    kind: "reads" as const,
    reads: [r],
    redoes: [],
  }))
  const whole = { ...model, tests: [...model.tests, ...loose] }
  let state: State | undefined = start(whole)
  for (const { test, putBack, cannot, reading, found } of log) {
    if (cannot) continue
    const action = { test: test ?? model.tests.length + reading!, putBack: putBack ?? false }
    state =
      state && outcomes(whole, state, action).find((each) => String(each.found) === String(found))?.state
  }
  const none = graph.faults.map(() => 0)
  const { uncured, cured } = state ? belief(whole, state) : { uncured: none, cured: none }
  const named = (chances: readonly number[]) =>
    Object.fromEntries(
      graph.faults.flatMap(({ name }, f) =>
        chances[f]! > 0 ? [[name, Number(chances[f]!.toPrecision(12))]] : [],
      ),
    )
  return { uncured: named(uncured), cured: named(cured), next: step(graph, log, state && { uncured, cured }) }
}

function step(
  graph: Graph,
  log: readonly Known[],
  chances: { uncured: readonly number[]; cured: readonly number[] } | undefined,
): Expected["next"] {
  if (!chances) return { do: "handover" }
  const node = lead(graph, log)
  const unable = new Set<number>()
  for (const { test, cannot } of log)
    if (cannot) unable.add(test!)
    else if (test !== undefined) unable.delete(test)
  if (!node || node.do === "advise" || (node.do === "test" && unable.has(node.test))) return { do: "model" }
  if (node.do === "handover") return { do: "handover" }
  if (node.do === "test") {
    const part = graph.model.tests[node.test]!.part
    return node.putBack
      ? { do: "putBack", part: graph.places[part!]!.name }
      : { do: "test", test: graph.tests[node.test]!.name }
  }
  const { remedy } = node
  const all = remedy.kind === "done" ? chances.cured : chances.uncured
  const chance = graph.faults.reduce(
    (sum, { place }, f) => sum + (remedy.kind === "done" || place === remedy.place ? all[f]! : 0),
    0,
  )
  return { do: "verdict", remedy, chance: Number(chance.toPrecision(12)) }
}

/** Where the findings lead to, if they are those of one path and no others; said without haste, and apart from the runner. */
function lead(graph: Graph, log: readonly Known[]): GraphNode | undefined {
  const changes = (i: number) =>
    log.slice(0, i).filter(({ found, cannot }) => !cannot && typeof found === "string").length
  let open = log.flatMap((known, i) => (known.cannot ? [] : [{ ...known, after: changes(i) }]))
  let node = graph.nodes[graph.start]!
  let changed = 0
  for (;;) {
    if (node.do !== "test") return open.length ? undefined : node
    const at = node
    const told = graph.tests[at.test]!.kind === "told"
    const { reads = [] } = graph.model.tests[at.test]!
    const found = open.find(
      (known) =>
        (told || known.after === changed) &&
        (known.test === at.test
          ? Boolean(known.putBack) === Boolean(at.putBack)
          : known.test === undefined && reads.length === 1 && known.reading === reads[0]),
    )
    if (!found) return open.length ? undefined : at
    open = open.filter((known) => known !== found)
    if (typeof found.found === "string") changed++
    const edge = at.edges.find(({ cells }) => JSON.stringify(cells) === JSON.stringify(found.found))
    if (!edge) return undefined
    node = graph.nodes[edge.to]!
  }
}
