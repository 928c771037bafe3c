import { readCase } from "../../compiler/cases/record/read.ts"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { walk } from "../../compiler/cases/replay/walk.ts"
import { Tally } from "../../compiler/cases/report/tally.ts"
import type { GraphNode } from "../../compiler/run/graph.ts"
import { graphOf } from "../support/graphs.ts"
import { modelOf } from "../support/sketch.ts"

/**
 * A small machine, its graph written by hand: a board with its seat, a panel, a lid whose redoing cures four times in
 * ten, a comes-and-goes plug. The graph looks for a glow, tries the board and puts it back, and redoes the lid.
 */
const model = modelOf({
  bench: 60,
  comeback: 90,
  handover: 150,
  places: [
    { name: "board", kind: "part", price: 100 },
    { name: "panel", kind: "part", price: 200 },
    { name: "seat", kind: "setup", of: "board" },
    { name: "lid", kind: "setup", cures: 0.4 },
    { name: "plug", kind: "setup" },
  ],
  faults: [
    { name: "board_dead", in: "board", odds: 4, shows: { rail: [0.9, 0.1, 0] } },
    { name: "panel_dead", in: "panel", odds: 2, shows: { glow: [0.25, 0.75] } },
    { name: "seat_loose", in: "seat", odds: 4 },
    { name: "lid_open", in: "lid", odds: 1 },
    { name: "plug_loose", in: "plug", odds: 1, recurs: 0.5 },
  ],
  readings: [
    { name: "glow", cells: ["yes", "no"], healthy: [0.9, 0.1] },
    { name: "rail", cells: [5, 20, 6] },
    { name: "moved", cells: ["yes", "no"], told: true, trust: 0.8, minutes: 0.5 },
  ],
  tests: [
    { name: "look_glow", reads: ["glow"], minutes: 1 },
    { name: "meter_rail", reads: ["rail"], minutes: 4 },
    { name: "try_board", swaps: "board", minutes: 20 },
    { name: "redo_lid", redoes: ["lid"], minutes: 3, costs: 2 },
  ],
  rules: [
    { when: ["in", "rail", [1]], out: ["board_dead"] },
    { when: ["in", "glow", [0]], out: ["panel_dead"] },
  ],
})

const [boardDead, panelDead, seatLoose, lidOpen] = [0, 1, 2, 3]
const nodes: GraphNode[] = [
  {
    do: "test",
    test: 0,
    cost: 1,
    edges: [
      { cells: [0], chance: 0.8, to: 1, rulesOut: [panelDead], because: [1] },
      { cells: [1], chance: 0.2, to: 2, rulesOut: [], because: [] },
    ],
  },
  {
    do: "test",
    test: 2,
    cost: 20,
    edges: [
      { cells: "gone", chance: 0.8, to: 3, rulesOut: [lidOpen], because: [] },
      { cells: "stays", chance: 0.2, to: 4, rulesOut: [boardDead, seatLoose], because: [] },
    ],
  },
  {
    do: "verdict",
    remedy: { kind: "replace", place: 1 },
    chance: 0.7,
    candidates: [
      { fault: panelDead, chance: 0.7 },
      { fault: boardDead, chance: 0.3 },
    ],
    proofs: [],
  },
  {
    do: "test",
    test: 2,
    putBack: true,
    cost: 20,
    edges: [
      { cells: "gone", chance: 0.5, to: 5, rulesOut: [boardDead], because: [] },
      { cells: "stays", chance: 0.5, to: 6, rulesOut: [seatLoose], because: [] },
    ],
  },
  {
    do: "test",
    test: 3,
    cost: 5,
    edges: [
      { cells: "gone", chance: 0.4, to: 7, rulesOut: [], because: [] },
      { cells: "stays", chance: 0.6, to: 8, rulesOut: [], because: [] },
    ],
  },
  {
    do: "verdict",
    remedy: { kind: "done" },
    chance: 1,
    candidates: [{ fault: seatLoose, cured: true, chance: 1 }],
    proofs: [],
  },
  {
    do: "verdict",
    remedy: { kind: "replace", place: 0 },
    chance: 1,
    candidates: [{ fault: boardDead, chance: 1 }],
    proofs: [],
  },
  {
    do: "verdict",
    remedy: { kind: "done" },
    chance: 1,
    candidates: [{ fault: lidOpen, cured: true, chance: 1 }],
    proofs: [],
  },
  { do: "handover", candidates: [{ fault: lidOpen, chance: 1 }] },
]

export const graph = graphOf(model, nodes)
export const index = indexGraph(graph)

/** Reads one line; the findings must be expected by the test itself. */
export function read(fields: object) {
  return readCase(JSON.stringify({ id: "K-1", ...fields }), 1, graph)
}

export function walked(fields: object) {
  const { case: record, diagnostics } = read(fields)
  if (!record || diagnostics.length > 0) throw new Error(diagnostics.map((each) => each.message).join("\n"))
  return walk(index, record)
}

export function report(...all: object[]) {
  const tally = new Tally(index)
  all.forEach((fields, i) => {
    const { case: record } = readCase(JSON.stringify({ id: `K-${i + 1}`, ...fields }), i + 1, graph)
    if (record) tally.add(record)
  })
  return tally.report()
}
