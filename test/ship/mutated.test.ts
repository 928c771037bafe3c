import fc from "fast-check"
import { expect, test } from "vitest"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { reportPage } from "../../compiler/cases/report/render-html.ts"
import { renderReport } from "../../compiler/cases/report/render-text.ts"
import { Tally } from "../../compiler/cases/report/tally.ts"
import { entriesOf } from "../../compiler/cases/table/batch.ts"
import { columnMapping } from "../../compiler/cases/table/read-row.ts"
import { graphText } from "../../compiler/graph/text.ts"
import { type Graph, open, RunError } from "../../compiler/run/index.ts"
import * as ship from "../../compiler/ship/index.ts"
import { kiosk } from "../run/kiosk.ts"
import { moduleParts, pageParts } from "./parts.ts"

type Path = readonly (string | number)[]

function* paths(value: unknown, path: Path = []): Generator<Path> {
  if (path.length > 0) yield path
  if (typeof value !== "object" || value === null) return
  for (const [key, inner] of Object.entries(value))
    yield* paths(inner, [...path, Array.isArray(value) ? Number(key) : key])
}

const all = [...paths(kiosk)].filter(([first]) => first !== "seal")

/** A value of the same kind as the one that is there. */
function alike(value: unknown, n: number): unknown {
  if (typeof value === "number") return [0, value + 1, value * 1.5, value / 3, Math.max(0, value - 1)][n % 5]
  if (typeof value === "string") return ["", "x", `${value}2`, "<b>&\"'`", "\u202e\n"][n % 5]
  if (typeof value === "boolean") return !value
  if (Array.isArray(value)) return n % 2 ? [...value].reverse() : value.slice(0, -1)
  return n % 2 ? undefined : value
}

function put(document: unknown, path: Path, value: unknown): void {
  let at = document as Record<string | number, unknown>
  for (const key of path.slice(0, -1)) at = at[key] as typeof at
  const last = path.at(-1)!
  if (value !== undefined) at[last] = value
  else if (Array.isArray(at)) at.splice(Number(last), 1)
  else delete at[last]
}

const lines = [
  { id: "A", told: { moved: "yes" }, steps: [{ test: "meter", found: "24 V" }], faults: ["ribbon_loose"] },
  {
    id: "B",
    steps: [
      { test: "try_panel", found: "stays" },
      { putBack: "panel", found: "stays" },
    ],
    faults: ["unlisted"],
  },
  {
    id: "C",
    steps: [{ found: { rail: 3 } }, { replace: "panel", found: "gone" }, { close: true, found: "holds" }],
  },
]
  .map((each) => `${JSON.stringify(each)}\n`)
  .join("")

const at = (document: unknown, path: Path) =>
  path.reduce<unknown>((so, key) => (so as Record<string | number, unknown>)[key], document)

/** Everything that is done with a graph besides running it. */
function useAll(graph: Graph): void {
  const index = indexGraph(graph)
  const tally = new Tally(index)
  for (const entry of entriesOf({ kind: "lines", text: lines, from: 1, offset: 0 }, graph, { file: "x" }))
    if (entry.case) tally.add(entry.case)
  const mapping = columnMapping(["id", "rail (mV)", "moved", "try_panel", "fault"], graph)
  const rows = [["A", "24000", "yes", "gone", "ribbon_loose"]]
  for (const entry of entriesOf({ kind: "rows", rows, from: 2 }, graph, { file: "x", mapping }))
    if (entry.case) tally.add(entry.case)
  const report = tally.report()
  renderReport(report)
  reportPage(report)
  graphText(graph)
  for (const write of [
    ship.writeDot,
    ship.writeMermaid,
    ship.writeMarkdown,
    ship.writeSvg,
    ship.writeDmn,
    ship.writeJsonSchema,
  ])
    write(graph)
  ship.writeModule(graph, moduleParts)
  ship.writePage(graph, pageParts)
  try {
    ship.writeSql(graph)
  } catch (error) {
    if (!(error instanceof ship.ShipError)) throw error
  }
}

test("whatever a graph is changed to, it is refused when it is opened, or replayed and exported like any other", {
  timeout: 120_000,
}, () => {
  useAll(kiosk as Graph)
  const values = fc.oneof(
    fc.constantFrom<unknown>(
      undefined,
      null,
      -1,
      0,
      0.5,
      1,
      2,
      99,
      1e13,
      1e300,
      true,
      "",
      "x",
      "gone",
      [],
      {},
      [0],
      ["x"],
      "__proto__",
    ),
    fc.jsonValue({ maxDepth: 2 }),
  )
  let opened = 0
  let refused = 0
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(
          fc.constantFrom(...all),
          fc.oneof(
            values,
            fc.nat(9).map((n) => (was: unknown) => alike(was, n)),
          ),
        ),
        { minLength: 1, maxLength: 2 },
      ),
      (changes) => {
        const graph = JSON.parse(JSON.stringify(kiosk))
        for (const [path, value] of changes)
          try {
            put(graph, path, typeof value === "function" ? value(at(graph, path)) : value)
          } catch {
            return
          }
        try {
          open(graph)
        } catch (error) {
          if (!(error instanceof RunError)) throw error
          refused++
          return
        }
        opened++
        useAll(graph)
      },
    ),
    { numRuns: 1000 },
  )
  expect(refused).toBeGreaterThan(250)
  expect(opened).toBeGreaterThan(80)
})
