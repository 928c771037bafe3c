/** What becomes another between two graphs: figures, what is declared, chances, and the steps of the plan. */
import type { Graph, GraphEdge, GraphExpected, GraphNode } from "../run/graph.ts"

/** A figure before and after; undefined where one side has none. */
export interface Changed {
  readonly name: string
  readonly old: number | undefined
  readonly fresh: number | undefined
}

export interface Declared {
  readonly kind: "place" | "fault" | "reading" | "test"
  readonly name: string
  readonly change: "added" | "removed" | "changed"
}

/** Where the two plans part: what was found on the way, and what each does then. */
export interface Parting {
  readonly after: readonly string[]
  readonly old: string
  readonly fresh: string
  /** Of jobs, by the new graph. */
  readonly share: number
}

export interface Difference {
  readonly figures: readonly Changed[]
  readonly declared: readonly Declared[]
  /** By fault, how many jobs have it at intake, where that is another. */
  readonly chances: readonly Changed[]
  readonly rules: Changed | undefined
  /** The share of jobs that go the same way in both plans. */
  readonly same: number
  /** The likeliest first. */
  readonly partings: readonly Parting[]
}

/** Smaller differences of money, minutes or chances are none. */
const LEAST = 1e-9

export function differenceOf(old: Graph, fresh: Graph): Difference {
  const partings = partingsOf(old, fresh)
  const rules = { name: "rules", old: old.rules.length, fresh: fresh.rules.length }
  return {
    figures: figuresOf(old.expected, fresh.expected),
    declared: declaredIn(old, fresh),
    chances: changedIn(chancesOf(old), chancesOf(fresh)),
    rules: meaningOfRules(old) === meaningOfRules(fresh) ? undefined : rules,
    same: 1 - partings.reduce((sum, { share }) => sum + share, 0),
    partings: [...partings].sort((a, b) => b.share - a.share),
  }
}

/** Whether nothing is another. */
export function isNone({ figures, declared, chances, rules, partings }: Difference): boolean {
  return [figures, declared, chances, partings].every(({ length }) => length === 0) && rules === undefined
}

function figuresOf(old: GraphExpected, fresh: GraphExpected): Changed[] {
  const names = Object.keys(fresh) as (keyof GraphExpected)[]
  return changedIn(
    new Map(names.map((name) => [name, old[name]])),
    new Map(names.map((name) => [name, fresh[name]])),
  )
}

function changedIn(old: ReadonlyMap<string, number>, fresh: ReadonlyMap<string, number>): Changed[] {
  return [...new Set([...old.keys(), ...fresh.keys()])]
    .map((name) => ({ name, old: old.get(name), fresh: fresh.get(name) }))
    .filter(
      ({ old, fresh }) =>
        Math.abs((old ?? Number.NaN) - (fresh ?? Number.NaN)) > LEAST ||
        (old === undefined) !== (fresh === undefined),
    )
}

/** By the odds alone: the share of jobs with one fault that have this one. */
function chancesOf({ faults }: Graph): Map<string, number> {
  const all = faults.reduce((sum, { odds }) => sum + odds, 0)
  return new Map(faults.map(({ name, odds }) => [name, odds / all]))
}

function meaningOfRules({ rules, model }: Graph): string {
  const all = rules.map(({ line: _, ...rule }, i) => [rule, model.rules.at(i)])
  return JSON.stringify(all, (_, value) => inOrder(value))
}

function declaredIn(old: Graph, fresh: Graph): Declared[] {
  const lists = { place: "places", fault: "faults", reading: "readings", test: "tests" } as const
  return (Object.keys(lists) as (keyof typeof lists)[]).flatMap((kind) => {
    const [was, is] = [byName(old, lists[kind]), byName(fresh, lists[kind])]
    return [...new Set([...was.keys(), ...is.keys()])].flatMap((name): Declared[] => {
      if (!was.has(name)) return [{ kind, name, change: "added" }]
      if (!is.has(name)) return [{ kind, name, change: "removed" }]
      return was.get(name) === is.get(name) ? [] : [{ kind, name, change: "changed" }]
    })
  })
}

/** The fields of an object by their names: a graph that was written has them in another order than one just made. */
function inOrder(value: unknown): unknown {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return value
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
}

type Lists = "places" | "faults" | "readings" | "tests"

/** What each says, with names in the place of indexes, which others may shift. */
function byName(graph: Graph, list: Lists): Map<string, string> {
  const place = (index: number) => graph.places.find((_, i) => i === index)?.name
  const test = (index: number) => graph.tests.find((_, i) => i === index)?.name
  return new Map(
    graph[list].map((each) => {
      const text = JSON.stringify(each, (key, value) => {
        if (key === "place" || key === "of") return place(value)
        if (key === "behind") return value.map(place)
        return key === "after" || key === "afterAny" ? value.map(test) : inOrder(value)
      })
      return [each.name, text]
    }),
  )
}

/** Ways that fewer jobs take are not followed. */
const LEAST_SHARE = 1e-4

function partingsOf(old: Graph, fresh: Graph): Parting[] {
  const partings: Parting[] = []
  const walk = (
    was: GraphNode | undefined,
    is: GraphNode | undefined,
    after: string[],
    share: number,
  ): void => {
    if (share < LEAST_SHARE) return
    const [then, now] = [actText(old, was), actText(fresh, is)]
    if (then !== now || !was || !is) {
      if (then !== now) partings.push({ after, old: then, fresh: now, share })
      return
    }
    const edges = new Map(edgesOf(was).map((edge) => [outcomeText(old, was, edge), edge]))
    for (const edge of edgesOf(is)) {
      const found = outcomeText(fresh, is, edge)
      const before = edges.get(found)
      const way = [...after, `${now} ${found}`]
      const next = edge.to === undefined ? undefined : fresh.nodes.at(edge.to)
      if (before)
        walk(before.to === undefined ? undefined : old.nodes.at(before.to), next, way, share * edge.chance)
      else if (share * edge.chance >= LEAST_SHARE)
        partings.push({
          after: way,
          old: "not found so",
          fresh: actText(fresh, next),
          share: share * edge.chance,
        })
    }
  }
  walk(old.nodes.at(old.start), fresh.nodes.at(fresh.start), [], 1)
  return partings
}

function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return "edges" in node ? node.edges : []
}

/** What a node does, by the names of the ruleset. */
function actText({ tests, places, faults }: Graph, node: GraphNode | undefined): string {
  if (node === undefined) return "the end"
  const name = (list: readonly { readonly name: string }[], index: number) => list.at(index)?.name ?? ""
  switch (node.do) {
    case "test":
      return name(tests, node.test)
    case "fix":
      return `fix ${name(faults, node.fault)}`
    case "takeOut":
      return `take out ${name(places, node.part)}`
    case "putBack":
      return `put back ${name(places, node.part)}`
    case "keep":
    case "replace":
      return `${node.do} ${name(places, node.part)}`
    case "look":
      return "look again"
    case "handover":
      return "hand over"
    case "advise":
      return "what the runner advises"
    default:
      return node.do
  }
}

function outcomeText(graph: Graph, node: GraphNode, { on, leaveIn }: GraphEdge): string {
  if (typeof on === "string") return leaveIn ? `${on}, left in` : on
  const reads = node.do === "test" ? (graph.model.tests.at(node.test)?.reads ?? []) : []
  return on.map((cell, i) => graph.readings.at(reads.at(i) ?? -1)?.cells.at(cell)?.label ?? "").join(", ")
}
