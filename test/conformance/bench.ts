import type { Graph, GraphNode } from "../../compiler/run/graph.ts"

/**
 * A small graph written by hand, in which every kind of thing occurs once: a part with a seat, a setup, an owner's
 * account, a reading in volts, a rule, a `never`, proofs, put back. Invented.
 *
 * Faults: 0 panel_dead (panel), 1 ribbon_loose (ribbon, a seat of the panel; comes and goes), 2 supply_low (supply),
 * 3 cover_open (cover). The compiled plan: meter the rail; reseat; try the panel; put it back.
 */
const nodes: GraphNode[] = [
  {
    do: "test",
    test: 0,
    cost: 4,
    edges: [
      { cells: [0], chance: 0.25, to: 1, rulesOut: [], because: [] },
      { cells: [1], chance: 0.75, to: 2, rulesOut: [2], because: [0] },
    ],
  },
  {
    do: "verdict",
    remedy: { kind: "replace", place: 2 },
    chance: 0.9,
    candidates: [{ fault: 2, chance: 0.9 }],
    proofs: [0],
  },
  {
    do: "test",
    test: 1,
    cost: 6,
    edges: [
      { cells: "gone", chance: 0.3, to: 5, rulesOut: [0, 3], because: [] },
      { cells: "stays", chance: 0.7, to: 3, rulesOut: [], because: [] },
    ],
  },
  {
    do: "test",
    test: 2,
    cost: 18,
    edges: [
      { cells: "gone", chance: 0.5, to: 4, rulesOut: [3], because: [] },
      { cells: "stays", chance: 0.5, to: 6, rulesOut: [0], because: [] },
    ],
  },
  {
    do: "test",
    test: 2,
    putBack: true,
    cost: 18,
    edges: [
      { cells: "gone", chance: 0.3, to: 5, rulesOut: [0], because: [] },
      { cells: "stays", chance: 0.7, to: 7, rulesOut: [], because: [] },
    ],
  },
  { do: "verdict", remedy: { kind: "done" }, chance: 1, candidates: [], proofs: [0, 1] },
  { do: "advise" },
  { do: "verdict", remedy: { kind: "replace", place: 0 }, chance: 0.9, candidates: [], proofs: [0] },
]

export const bench: Graph = {
  format: "ruleout-graph/1",
  ruleset: { name: "kiosk", title: "Kiosk dark", version: "1.0.0", source: "sha256:0", compiler: "0.0.0" },
  money: "EUR",
  bench: 60,
  comeback: 90,
  handover: 150,
  trust: 0.6,
  complaint: { name: "dark", text: "the screen stays dark" },
  places: [
    { name: "panel", label: "display panel", kind: "part", price: 210, spare: true },
    { name: "ribbon", label: "panel ribbon seating", kind: "setup", of: 0 },
    { name: "supply", label: "24 V supply", kind: "part", price: 70 },
    { name: "cover", label: "rear cover", kind: "setup" },
  ],
  faults: [
    { name: "panel_dead", label: "panel failed", place: 0, odds: 3 },
    { name: "ribbon_loose", label: "ribbon not home", place: 1, odds: 9, remedy: "Press both ends home." },
    { name: "supply_low", label: "supply sags", place: 2, odds: 6 },
    { name: "cover_open", label: "cover switch held open", place: 3, odds: 2 },
  ],
  readings: [
    {
      name: "rail",
      question: "Rail at the plug, machine on",
      told: false,
      unit: "V",
      from: 0,
      to: 30,
      by: 0.01,
      cells: [
        { label: "below 22.8 V", from: 0, to: 22.79 },
        { label: "from 22.8 V", from: 22.8, to: 30 },
      ],
    },
    {
      name: "moved",
      question: "Was it moved?",
      told: true,
      cells: [
        { label: "yes", values: ["yes"] },
        { label: "no", values: ["no"] },
      ],
    },
    {
      name: "glow",
      question: "Any glow?",
      told: false,
      cells: [
        { label: "yes", values: ["yes"] },
        { label: "no", values: ["no"] },
      ],
    },
  ],
  tests: [
    {
      name: "meter",
      instruction: "Meter the rail",
      kind: "reads",
      minutes: 4,
      cost: 4,
      needs: ["multimeter"],
      cautions: ["Live plug: one hand, insulated probes."],
      power: "on",
    },
    {
      name: "reseat",
      instruction: "Reseat the ribbon",
      kind: "redoes",
      minutes: 6,
      cost: 6,
      needs: [],
      cautions: [],
    },
    {
      name: "try_panel",
      instruction: "Fit the known-good panel",
      kind: "swaps",
      minutes: 18,
      cost: 18,
      needs: [],
      cautions: [],
      power: "off",
    },
    {
      name: "look_both",
      instruction: "Look for a glow while metering",
      kind: "reads",
      minutes: 5,
      cost: 5,
      needs: [],
      cautions: [],
      after: [0],
    },
    {
      name: "moved",
      instruction: "Was it moved?",
      kind: "told",
      minutes: 0.5,
      cost: 0.5,
      needs: [],
      cautions: [],
    },
  ],
  rules: [{ line: 31, because: "a rail inside its limits clears the supply" }],
  proofs: [
    { text: "Power it up cold", times: 5, minutes: 2 },
    { text: "Tilt it while on", times: 1, minutes: 3, places: [1] },
  ],
  start: 0,
  nodes,
  expected: { total: 30, tests: 20, minutes: 20, steps: 2, wrong: 0.02, handover: 0.01 },
  proof: { exact: false, lower: 20 },
  model: {
    healthy: [
      [0.03, 0.97],
      [0.5, 0.5],
      [0.98, 0.02],
    ],
    recurs: [1, 0.7, 1, 1],
    shows: [
      [[2, [0, 1]]],
      [[1, [0.9, 0.1]]],
      [
        [0, [0.9, 0.1]],
        [2, [0.5, 0.5]],
      ],
      [],
    ],
    tests: [
      { reads: [0] },
      { redoes: [[1, 0.85]], tries: 3 },
      { part: 0, redoes: [[1, 0.85]] },
      { reads: [2, 0] },
      { reads: [1] },
    ],
    rules: [{ when: ["in", 0, [1]], out: [2] }],
    nevers: [["and", ["in", 2, [0]], ["in", 0, [0]]]],
  },
}
