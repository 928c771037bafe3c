import fc from "fast-check"
import { expect, test } from "vitest"
import { type Graph, open, RunError, type Session } from "../../compiler/run/index.ts"
import { bench } from "./bench.ts"

type Json = null | boolean | number | string | Json[] | { [key: string]: Json }

/** A copy, of which any part may be changed. */
const copy = (): Record<string, never> => JSON.parse(JSON.stringify(bench))

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
    JSON.stringify([session.candidates, session.chances, session.standing, session.steps])
    const { next } = session
    session.record({ id: "x" })
    if (next.do !== "test") break
    const likeliest = [...next.outcomes].sort((a, b) => b.chance - a.chance)[0]
    if (!likeliest) break
    try {
      session = session.answer(likeliest.found as never)
    } catch (error) {
      // Two things of one name: then `answer` may find the other one.
      if (!(error instanceof RunError)) throw error
      break
    }
  }
  return "used"
}

const all = [...paths(bench as unknown as Json)]

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
      let taken: unknown = bench
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

test.each(["ruleout-graph/2", "ruleout-graph/", "", { toString: 1 }, ["ruleout-graph/1"], undefined])(
  "says of the format %j which one it reads, and what to do",
  (format) => {
    expect(() => open({ ...copy(), format })).toThrow(
      new RunError(
        "`graph.format` is missing or wrong, this runner reads `ruleout-graph/1`: compile the ruleset again.",
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
  expect(said(["faults", 1, "place"], 4)).toContain("`graph.faults[1].place`")
  expect(said(["model", "healthy", 0, 1], "x")).toContain("`graph.model.healthy[0][1]`")
  expect(said(["nodes", 2, "edges", 0, "to"], 8)).toContain("`graph.nodes[2].edges[0].to`")
  expect(said(["nodes", 2, "edges", 0, "to"], 0)).toContain("`graph.nodes`")
  expect(said(["places"], undefined)).toContain("`graph.places`")
  expect(said(["proofs", 0, "times"], "5")).toContain("`graph.proofs[0].times`")
})

test("names that reach for prototypes are names like any other", () => {
  for (const name of ["__proto__", "constructor", "toString", "hasOwnProperty", "valueOf", "prototype"]) {
    const graph = JSON.parse(
      JSON.stringify(bench)
        .replaceAll('"rail"', `"${name}"`)
        .replaceAll('"moved"', `"${name}2"`)
        .replaceAll('"yes"', `"${name}"`),
    ) as Graph
    const session = open(graph)
      .find(`${name}2`, name)
      .find("meter", "24 V")
      .find("look_both", JSON.parse(`{"glow":"no","${name}":"23 V"}`))
    const record = JSON.parse(JSON.stringify(session.record({ id: "x" })))
    expect(Object.entries(record.told)).toEqual([[`${name}2`, name]])
    expect(record.steps.map((step: { found: object }) => Object.entries(step.found))).toEqual([
      [[name, "24 V"]],
      [
        ["glow", "no"],
        [name, "23 V"],
      ],
    ])
    expect(() => open(graph).find("look_both", { glow: "no" })).toThrow(RunError)
  }
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
  const many = copy() as unknown as { [key: string]: Json[] } & { model: { [key: string]: Json[] } }
  for (let r = 3; r < 11; r++) {
    many.readings!.push({ name: `r${r}`, question: "?", told: false, cells })
    many.model.healthy!.push(cells.map(() => 0.01))
  }
  ;(many.model.tests![3] as { [key: string]: Json }).reads = [3, 4, 5, 6, 7, 8, 9, 10]
  expect(use(many, 3)).toBe("used")
  // A ring of nodes, and a chain of a million.
  const ring = copy() as unknown as { nodes: Json[] }
  const link = (to: number) => ({
    do: "test",
    test: 1,
    cost: 1,
    edges: [{ cells: "gone", chance: 1, to, rulesOut: [], because: [] }],
  })
  ring.nodes = Array.from({ length: 1000 }, (_, n) => link((n + 1) % 1000))
  expect(use(ring)).toBe("refused")
  ring.nodes = [...Array.from({ length: 1e6 }, (_, n) => link(n + 1)), { do: "advise" }]
  expect(["refused", "used"]).toContain(use(ring))
})
