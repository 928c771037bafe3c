/**
 * Writes the vectors: `npx tsx test/conformance/generate.ts`. The graphs are compiled from the kiosk of the language page
 * and from random sketches, and one is written by hand; the walks are drawn with a fixed seed; what must come out is
 * computed by the reference, never by the runner.
 */
import { mkdirSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { compile } from "../../compiler/compile.ts"
import { writeGraph } from "../../compiler/graph/write.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { graphOf } from "../support/graphs.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { type Draw, type Size, seeded, sketchFrom } from "../support/models.ts"
import { actions, outcomes, type State, start } from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"
import { modelFrom } from "../support/unwrite.ts"
import { bench } from "./bench.ts"
import { type Act, expected, type Known, type Vectors, type Walk } from "./vectors.ts"

const size: Size = {
  parts: 3,
  setups: 3,
  faults: 7,
  readings: 4,
  told: 2,
  tests: 7,
  rules: 4,
  nevers: 1,
  exactly: true,
}

/** Units of the quantities of random graphs: what the reading is in, its step, and how else its values may be said. */
const scales = [
  { unit: "V", by: 0.01, also: [["mV", 1000]] },
  {
    unit: "kohm",
    by: 0.1,
    also: [
      ["ohm", 1000],
      ["Mohm", 0.001],
    ],
  },
  { unit: "degC", by: 0.5, also: [["\u00b0C", 1]] },
  { unit: "s", by: 0.2, also: [["ms", 1000]] },
  { unit: "MiB", by: 64, also: [["KiB", 1024]] },
  {
    unit: "bar",
    by: 0.05,
    also: [
      ["kPa", 100],
      ["mbar", 1000],
    ],
  },
] as const

/** The plan of a random model, with units on what is measured. */
function drawn(seed: number): Graph {
  const draw = seeded(seed)
  const model = modelOf(sketchFrom(draw, size))
  const readings = model.readings.map((reading) => {
    const last = reading.cells.at(-1)!.last
    if (last === undefined) return reading
    const { unit, by } = scales[draw.int(0, scales.length - 1)]!
    const from = draw.int(-2, 2) * by * 10
    return { ...reading, grid: { unit, from, to: from + last * by, by, count: last + 1 } }
  })
  const measured = { ...model, readings }
  const planner = makePlanner(measured, { effort: 2000, mass: 0.01 })
  planner.advance(Number.POSITIVE_INFINITY)
  const { nodes } = writeGraph(measured, planner.plan(), { source: "sha256:0", compiler: "0.0.0" })
  return JSON.parse(JSON.stringify(graphOf(measured, nodes)))
}

/** A value that falls into this cell, as somebody would say it. */
function say(graph: Graph, reading: number, cell: number, draw: Draw): unknown {
  const { cells, unit, by } = graph.readings[reading]!
  const { values, from, to } = cells[cell]!
  if (values) return values[draw.int(0, values.length - 1)]
  // At a border as often as within; a hair off the grid it is rounded back to it.
  const steps = Math.round((to! - from!) / by!)
  const at = [0, steps, draw.int(0, steps)][draw.int(0, 2)]!
  const value = from! + at * by! + [0, 0, 0.3 * by!, -0.3 * by!][draw.int(0, 3)]!
  const last = graph.readings[reading]!
  const inside = Math.min(Math.max(value, last.from!), last.to!)
  const tidy = (x: number) => Number(x.toPrecision(9))
  const scale = scales.find((each) => each.unit === unit)
  const way = draw.int(0, 2)
  if (way === 0) return tidy(inside)
  if (way === 1 || !scale) return `${tidy(inside)} ${unit}`
  const [other, factor] = scale.also[draw.int(0, scale.also.length - 1)]!
  return `${tidy(inside * factor)}${draw.int(0, 1) ? " " : ""}${other}`
}

function walk(graph: Graph, draw: Draw): Walk {
  const model = modelFrom(graph)
  const steps: { do: Act; expect: ReturnType<typeof expected> | "refused" }[] = []
  const kinds = new Set<string>()
  let log: Known[] = []
  const take = (act: Act, next: readonly Known[]) => {
    log = [...next]
    steps.push({ do: act, expect: expected(graph, log) })
  }
  for (let turn = draw.int(3, 8); turn > 0; turn--) {
    // Where the reference stands: what can be found now with any weight.
    let state: State | undefined = start(model)
    for (const { test, putBack, cannot, found } of log) {
      if (cannot || !state) continue
      if (test === undefined) continue
      state = outcomes(model, state, { test, putBack: putBack ?? false }).find(
        (each) => String(each.found) === String(found),
      )?.state
    }
    const luck = draw.int(1, 100)
    const names = (list: readonly { readonly name: string }[]) => list.map(({ name }) => name)
    if (luck <= 8 && log.length) {
      const undo = draw.int(0, log.length - 1)
      const gone = log[undo]!
      kinds.add("taken back")
      const fitting = gone.cannot || gone.putBack ? undefined : gone.test
      take(
        { undo },
        log.filter((known, i) => i !== undo && !(known.putBack && known.test === fitting)),
      )
    } else if (luck <= 14) {
      const test = draw.int(0, graph.tests.length - 1)
      kinds.add("cannot be done")
      take({ cannot: graph.tests[test]!.name }, [...log, { test, cannot: true }])
    } else if (luck <= 20) {
      kinds.add("refused")
      const measured = graph.readings.findIndex((reading) => reading.by !== undefined)
      const bad: Act[] = [
        { find: "no_such_test", found: "yes" },
        { find: graph.tests[0]!.name, found: {} },
        { undo: log.length },
        { cannot: "no_such_test" },
        ...(measured < 0
          ? []
          : [
              {
                find: graph.readings[measured]!.name,
                found: `${graph.readings[measured]!.to! + 2 * graph.readings[measured]!.by!} ${graph.readings[measured]!.unit}`,
              },
              { find: graph.readings[measured]!.name, found: "5 lm" },
            ]),
      ]
      steps.push({ do: bad[draw.int(0, bad.length - 1)]!, expect: "refused" })
    } else if (luck <= 26) {
      const known = new Set(
        log.flatMap(({ reading, test }) =>
          reading !== undefined ? [reading] : (graph.model.tests[test!]!.reads ?? []),
        ),
      )
      const free = graph.readings.flatMap((each, r) =>
        known.has(r) || names(graph.tests).includes(each.name) ? [] : [r],
      )
      if (!free.length) continue
      const reading = free[draw.int(0, free.length - 1)]!
      const cell = draw.int(0, graph.readings[reading]!.cells.length - 1)
      kinds.add("learnt without a test")
      take({ find: graph.readings[reading]!.name, found: say(graph, reading, cell, draw) }, [
        ...log,
        { reading, found: [cell] },
      ])
    } else {
      // Along the graph where it applies, or whatever else may be done; now and then what may not be done yet.
      const { next } = expected(graph, log)
      const followed = next.do === "test" || next.do === "putBack"
      // What a reading told without its test stands for has been done.
      const loose = new Set(log.flatMap(({ reading }) => (reading === undefined ? [] : [reading])))
      const settled = (test: number) => {
        const { reads } = graph.model.tests[test]!
        const all = new Set([
          ...loose,
          ...log.flatMap(({ test }) => (test === undefined ? [] : (graph.model.tests[test]!.reads ?? []))),
        ])
        return loose.size > 0 && reads?.every((r) => all.has(r))
      }
      const early = draw.int(1, 100) <= 12
      const fitted = new Set([...(state?.fitted.keys() ?? [])])
      const done = new Set(log.flatMap(({ test, cannot }) => (cannot || test === undefined ? [] : [test])))
      const open = (
        early || !state ? graph.tests.map((_, test) => ({ test, putBack: false })) : actions(model, state)
      ).filter(
        ({ test, putBack }) =>
          putBack || (!done.has(test) && !settled(test) && !fitted.has(graph.model.tests[test]!.part ?? -1)),
      )
      if (!open.length) break
      let action = open[draw.int(0, open.length - 1)]!
      if (followed && draw.int(1, 100) <= 60) {
        const wanted = open.find(({ test, putBack }) =>
          next.do === "putBack"
            ? putBack && graph.places[graph.model.tests[test]!.part!]!.name === next.part
            : !putBack && graph.tests[test]!.name === next.test,
        )
        if (wanted) action = wanted
      } else if (followed) kinds.add("out of order")
      const { reads, part } = graph.model.tests[action.test]!
      const can = state ? outcomes(model, state, action) : []
      const found =
        can.length && draw.int(1, 100) <= 92
          ? can[draw.int(0, can.length - 1)]!.found
          : reads
            ? reads.map((r) => draw.int(0, graph.readings[r]!.cells.length - 1))
            : (["gone", "stays"] as const)[draw.int(0, 1)]!
      const said =
        typeof found === "string"
          ? found
          : reads!.length === 1 && draw.int(0, 1)
            ? say(graph, reads![0]!, found[0]!, draw)
            : Object.fromEntries(
                reads!.map((r, i) => [graph.readings[r]!.name, say(graph, r, found[i]!, draw)]),
              )
      if (typeof found !== "string" && reads!.some((r) => graph.readings[r]!.by !== undefined))
        kinds.add("measured")
      if (action.putBack) kinds.add("put back")
      const find = action.putBack ? graph.places[part!]!.name : graph.tests[action.test]!.name
      take({ find, found: said }, [
        ...log,
        { test: action.test, ...(action.putBack ? { putBack: true } : {}), found },
      ])
    }
  }
  return { about: [...kinds].sort().join(", ") || "along the graph", start: expected(graph, []), steps }
}

const kiosk = compile("kiosk.ruleout", () => KIOSK_DARK, { mass: 0.002 }).graph!
const graphs: [string, Graph][] = [
  ["by-hand", bench],
  ["ticket-kiosk", kiosk],
  ...Array.from({ length: 11 }, (_, i): [string, Graph] => [`drawn-${i + 1}`, drawn(100 + i)]),
]
const folder = join(import.meta.dirname, "vectors")
mkdirSync(folder, { recursive: true })
for (const [i, [name, graph]] of graphs.entries()) {
  const draw = seeded(1000 + i)
  const walks = Array.from({ length: 26 }, () => walk(graph, draw))
  const vectors: Vectors = { format: "ruleout-vectors/1", graph, walks }
  // One walk a line: short enough to keep, and a change shows where it is.
  const lines = walks.map((each) => JSON.stringify(each)).join(",\n")
  writeFileSync(
    join(folder, `${name}.json`),
    `{"format":${JSON.stringify(vectors.format)},\n"graph":${JSON.stringify(graph)},\n"walks":[\n${lines}\n]}\n`,
  )
}
