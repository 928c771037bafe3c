import fc from "fast-check"
import { expect, test } from "vitest"
import { type Act, type Graph, open, RunError, type Session } from "../../compiler/run/index.ts"
import { kiosk, unplanned } from "./kiosk.ts"

type Json = null | boolean | number | string | Json[] | { [key: string]: Json }

/** A copy, of which any part may be changed. */
const copy = (): Record<string, never> => JSON.parse(JSON.stringify(kiosk))

/** Every way to a value of a document. */
function* paths(
  value: Json,
  path: readonly (string | number)[] = [],
): Generator<readonly (string | number)[]> {
  if (path.length) yield path
  if (value && typeof value === "object")
    for (const key of Object.keys(value))
      yield* paths((value as { [key: string]: Json })[key]!, [
        ...path,
        Array.isArray(value) ? Number(key) : key,
      ])
}

function put(document: unknown, path: readonly (string | number)[], value: unknown): void {
  let at = document as Record<string | number, unknown>
  for (const key of path.slice(0, -1)) at = at[key] as typeof at
  const last = path.at(-1)!
  if (value === undefined && Array.isArray(at)) at.splice(Number(last), 1)
  else if (value === undefined) delete at[last]
  else Object.defineProperty(at, last, { value, configurable: true, enumerable: true, writable: true })
}

/** Opens it, and if it opens does all that there is to be done with it. Anything but a RunError comes through. */
function use(graph: unknown, depth = 12): "refused" | "used" {
  let session: Session
  try {
    session = open(graph)
  } catch (error) {
    if (error instanceof RunError) return "refused"
    throw error
  }
  for (let i = 0; i < depth; i++) {
    JSON.stringify([session.candidates, session.pairs, session.standing, session.steps, session.outlook])
    const { next } = session
    session.record({ id: "x" })
    if (!("outcomes" in next)) break
    const [likeliest] = [...next.outcomes].sort((a, b) => b.chance - a.chance)
    if (!likeliest) break
    session = session.answer(likeliest.found)
  }
  return "used"
}

const all = [...paths(kiosk as unknown as Json)]

test("whatever one value of a graph is changed to, it is refused, or it works", () => {
  const bad = [
    undefined,
    null,
    -1,
    0.5,
    99,
    1e300,
    Number.NaN,
    "x",
    "__proto__",
    "constructor",
    [],
    {},
    [[]],
    { length: 3 },
    true,
  ]
  let refused = 0
  let tried = 0
  // A third of the values for each place, another third for the next.
  for (const [i, path] of all.entries())
    for (const value of bad.filter((_, k) => (i + k) % 3 === 0)) {
      tried++
      const graph = copy()
      put(graph, path, value)
      if (use(graph, 4) === "refused") refused++
    }
  // Most of it matters: what may be anything are notes that the runner does not read, and some numbers.
  expect(refused / tried).toBeGreaterThan(0.75)
})

test("two values changed, or one taken from elsewhere in the graph", () => {
  const some = fc.constantFrom(...all)
  fc.assert(
    fc.property(some, some, some, fc.jsonValue(), (to, from, other, value) => {
      const graph = copy()
      let taken: unknown = kiosk
      for (const key of from) taken = (taken as Record<string | number, unknown>)[key]
      put(graph, to, JSON.parse(JSON.stringify(taken)))
      try {
        put(graph, other, value)
      } catch {
        return
      }
      use(graph, 4)
    }),
    { numRuns: 800 },
  )
})

test("any JSON at all", () => {
  fc.assert(
    fc.property(fc.jsonValue({ maxDepth: 4 }), (json) => use(json) === "refused"),
    { numRuns: 300 },
  )
  for (const nothing of [
    undefined,
    null,
    0,
    "",
    [],
    {},
    { format: "ruleout-graph/1" },
    { format: "ruleout-graph/2" },
    () => 0,
  ])
    expect(use(nothing)).toBe("refused")
})

test.each(["ruleout-graph/1", "ruleout-graph/", "", { toString: 1 }, ["ruleout-graph/2"], undefined])(
  "says of the format %j which one it reads, and what to do",
  (format) => {
    const what = typeof format === "string" ? `\`${format}\`` : "no format"
    expect(() => open({ ...copy(), format })).toThrow(
      new RunError(
        "graph",
        `This runner reads \`ruleout-graph/2\`, and the graph has ${what}: compile it again.`,
      ),
    )
  },
)

test("says what is wrong, and where", () => {
  const said = (path: readonly (string | number)[], value: unknown): string => {
    const graph = copy()
    put(graph, path, value)
    try {
      open(graph)
    } catch (error) {
      return (error as Error).message
    }
    return ""
  }
  expect(said(["tests", 3, "cost"], Number.NaN)).toContain("`graph.tests[3].cost`")
  expect(said(["faults", 1, "place"], 5)).toContain("`graph.faults[1].place`")
  expect(said(["faults", 1, "name"], "panel_dead")).toContain("`graph.faults[1].name`")
  expect(said(["readings", 0, "by"], 0)).toContain("`graph.readings[0]`")
  expect(said(["readings", 1, "cells", 0, "values"], undefined)).toContain("`graph.readings[1]`")
  expect(said(["ruleset", "source"], undefined)).toContain("`graph.ruleset.source`")
  expect(said(["money"], 3)).toContain("`graph.money`")
  expect(said(["model", "healthy", 0, 1], "x")).toContain("`graph.model.healthy`")
  expect(said(["model", "healthy", 0, 1], 0.9)).toContain("`graph.model.healthy`")
  expect(said(["model", "tests", 1, "tries"], 1e9)).toContain("`graph.model.tests[1].tries`")
  const { nodes } = kiosk
  const step = nodes.findIndex((node) => "edges" in node && node.edges[0]?.to !== undefined)
  expect(said(["nodes", step, "edges", 0, "to"], nodes.length)).toContain(
    `\`graph.nodes[${step}].edges[0].to\``,
  )
  expect(said(["nodes", step, "edges", 0, "on"], "holds")).toContain(`\`graph.nodes[${step}].edges[0].on\``)
  expect(said(["nodes", step, "edges", 0, "to"], step)).toContain(`\`graph.nodes[${step}]\``)
  expect(said(["places"], undefined)).toContain("`graph.places`")
  expect(said(["proofs", 0, "times"], "5")).toContain("`graph.proofs[0].times`")
})

test("names that reach for prototypes are names like any other", () => {
  for (const name of ["__proto__", "constructor", "toString", "hasOwnProperty", "valueOf", "prototype"]) {
    const graph = JSON.parse(
      JSON.stringify(kiosk)
        .replaceAll('"rail"', `"${name}"`)
        .replaceAll('"moved"', `"${name}2"`)
        .replaceAll('"yes"', `"${name}"`),
    ) as Graph
    const session = open(graph)
      .find({ test: `${name}2` }, name)
      .find({ test: "meter" }, "24 V")
      .find({ test: "look_both" }, JSON.parse(`{"glow":"no","${name}":"23 V"}`))
    const record = JSON.parse(JSON.stringify(session.record({ id: "x" })))
    expect(Object.entries(record.told)).toEqual([[`${name}2`, name]])
    expect(record.steps.map((step: { found: object }) => Object.entries(step.found))).toEqual([
      [[name, "24 V"]],
      [
        ["glow", "no"],
        [name, "23 V"],
      ],
    ])
    expect(() => open(graph).find({ test: "look_both" }, { glow: "no" })).toThrow(RunError)
  }
})

test("an act that is a text is told what an act is", () => {
  for (const act of ["rail", "x", null, 5] as unknown as Act[])
    expect(() => open(kiosk).find(act, "yes")).toThrow("An act names a test, a reading, a part or a fault")
})

test("nothing hangs it: deep conditions, long lists, very many combinations", { timeout: 20_000 }, () => {
  const deep = (levels: number) => {
    let text = '["in",0,[0]]'
    text = '["not",'.repeat(levels) + text + "]".repeat(levels)
    return JSON.parse(text)
  }
  for (const levels of [150, 5000]) {
    const graph = copy()
    put(graph, ["model", "nevers", 0], deep(levels))
    expect(use(graph)).toBe(levels < 200 ? "used" : "refused")
  }
  // Eight readings of a hundred cells each in one test: 10^16 combinations.
  const cells = Array.from({ length: 100 }, (_, i) => ({ label: `v${i}`, values: [`v${i}`] }))
  // The graph has no node for it: its edges would have to say what each of the readings is.
  const many = JSON.parse(JSON.stringify(unplanned)) as { [key: string]: Json[] } & {
    model: { [key: string]: Json[] }
  }
  for (let r = 3; r < 11; r++) {
    many.readings!.push({ name: `r${r}`, question: "?", told: false, cells })
    for (const key of ["healthy", "base"]) many.model[key]!.push(cells.map(() => 0.01))
    many.model.trust!.push(1)
  }
  ;(many.model.tests![5] as { [key: string]: Json }).reads = [3, 4, 5, 6, 7, 8, 9, 10]
  expect(use(many, 3)).toBe("used")
  // As many that a rule tells apart are too many.
  many.model.nevers!.push(["and", ...[3, 4, 5, 6, 7].map((r) => ["in", r, [0]])] as Json)
  expect(use(many, 3)).toBe("refused")
  // A ring of nodes, and a chain of a million.
  const ring = copy() as unknown as { nodes: Json[]; start: number }
  const link = (to: number) => ({
    do: "test",
    test: 1,
    cost: 1,
    costToGo: 1,
    edges: [{ on: "gone", chance: 1, to, rulesOut: [], because: [] }],
  })
  const end = { do: "advise", costToGo: 1 }
  ring.start = 0
  for (const [length, last, then] of [
    [1000, link(0), "refused"],
    [1e6, end, "refused"],
    [1000, end, "used"],
  ] as const) {
    ring.nodes = [...Array.from({ length: length - 1 }, (_, n) => link(n + 1)), last]
    expect(use(ring, 1)).toBe(then)
  }
})
