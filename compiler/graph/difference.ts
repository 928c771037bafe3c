/** What becomes another between two graphs: figures, what is declared, chances, and the steps of the plan. */
import type { Graph, GraphEdge, GraphExpected, GraphNode } from "../run/graph.ts"
import type { NodeIndex, PlaceIndex, TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { actionName } from "./action-name.ts"

/** A figure before and after; undefined if one side has none. */
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
export interface Divergence {
  readonly after: readonly string[]
  readonly old: string
  readonly fresh: string
  /** Of jobs, by the new graph. */
  readonly share: number
  /** Of the new graph; undefined if the job ends. */
  readonly node: NodeIndex | undefined
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
  readonly partings: readonly Divergence[]
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
    .filter(({ old, fresh }) =>
      old === undefined || fresh === undefined ? old !== fresh : Math.abs(old - fresh) > LEAST,
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
  const place = (index: PlaceIndex) => at(graph.places, index).name
  const test = (index: TestIndex) => at(graph.tests, index).name
  return new Map(
    graph[list].map((each) => {
      const text = JSON.stringify(each, (key, value) => {
        if (key === "place" || key === "of") return place(value)
        if (key === "behind") return value.map(place)
        if (key === "picture") return graph.pictures?.[value]?.digest
        return key === "after" || key === "afterAny" ? value.map(test) : inOrder(value)
      })
      return [each.name, text]
    }),
  )
}

/** Ways that fewer jobs take are not followed. */
const LEAST_SHARE = 1e-4

function partingsOf(old: Graph, fresh: Graph): Divergence[] {
  const partings: Divergence[] = []
  const walk = (
    from: NodeIndex | undefined,
    node: NodeIndex | undefined,
    after: string[],
    share: number,
  ): void => {
    const [was, is] = [nodeOf(old, from), nodeOf(fresh, node)]
    const [then, now] = [actText(old, was), actText(fresh, is)]
    if (then !== now) partings.push({ after, old: then, fresh: now, share, node })
    if (then !== now || !was || !is) return
    const edges = new Map(edgesOf(was).map((edge) => [outcomeText(old, was, edge), edge]))
    for (const edge of edgesOf(is)) {
      const chance = share * edge.chance
      if (chance < LEAST_SHARE) continue
      const found = outcomeText(fresh, is, edge)
      const before = edges.get(found)
      const way = [...after, `${now} ${found}`]
      const { to } = edge
      if (before) walk(before.to, to, way, chance)
      else {
        const next = actText(fresh, nodeOf(fresh, to))
        partings.push({ after: way, old: "not found so", fresh: next, share: chance, node: to })
      }
    }
  }
  walk(old.start, fresh.start, [], 1)
  return partings
}

function nodeOf({ nodes }: Graph, index: NodeIndex | undefined): GraphNode | undefined {
  return index === undefined ? undefined : at(nodes, index)
}

function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return "edges" in node ? node.edges : []
}

/** What a node does, by the names of the ruleset. */
function actText(graph: Graph, node: GraphNode | undefined): string {
  if (node === undefined) return "the end"
  return node.do === "advise" ? "what the runner advises" : actionName(graph, node)
}

function outcomeText(graph: Graph, node: GraphNode, { on, leaveIn }: GraphEdge): string {
  if (typeof on === "string") return leaveIn ? `${on}, left in` : on
  const reads = node.do === "test" ? (at(graph.model.tests, node.test).reads ?? []) : []
  return on.map((cell, i) => at(at(graph.readings, at(reads, i)).cells, cell).label).join(", ")
}
