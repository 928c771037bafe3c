import type { Model } from "../../compiler/model/model.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { tableOf } from "../../compiler/run/indexes.ts"
import { graphOf } from "../support/graphs.ts"
import { modelOf, nowhere } from "../support/sketch.ts"

/**
 * A small invented machine in which every kind of thing occurs: a panel with a ribbon as its seat, a supply, a cover, a
 * board that is taken out to see whether it pulls the supply down; an owner's account, a voltage, rules, a `never`,
 * proofs, two faults and something not listed.
 */
const sketch = modelOf({
  bench: 60,
  waiting: 6,
  comeback: 90,
  handover: 150,
  trust: 0.6,
  second: 0.1,
  unlisted: 0.05,
  complaint: { minutes: 0.5, tries: 1 },
  places: [
    { name: "panel", kind: "part", price: 210 },
    { name: "ribbon", kind: "setup", of: "panel", cures: 0.85 },
    { name: "supply", kind: "part", price: 70, fit: { minutes: 12, waits: 60 } },
    { name: "cover", kind: "setup" },
    { name: "board", kind: "part", price: 40, behind: ["cover"] },
  ],
  faults: [
    { name: "panel_dead", in: "panel", odds: 6, shows: { glow: [0, 1] } },
    { name: "ribbon_loose", in: "ribbon", odds: 3, recurs: 0.7, shows: { moved: [0.9, 0.1] } },
    { name: "supply_low", in: "supply", odds: 6, shows: { rail: [0.9, 0.1], glow: [0.5, 0.5] } },
    { name: "cover_open", in: "cover", odds: 2, eased: { ribbon: 0.3 } },
    { name: "board_shorted", in: "board", odds: 2, shows: { rail: [1, 0] }, fix: { minutes: 30, costs: 4 } },
  ],
  readings: [
    { name: "rail", cells: ["low", "right"], healthy: [0.03, 0.97] },
    { name: "moved", cells: ["yes", "no"], told: true, trust: 0.9 },
    { name: "glow", cells: ["yes", "no"], healthy: [0.98, 0.02] },
  ],
  tests: [
    { name: "meter", reads: ["rail"], minutes: 4 },
    { name: "reseat", redoes: ["ribbon"], minutes: 6, tries: 3 },
    { name: "try_panel", swaps: "panel", minutes: 18 },
    { name: "without_board", removes: "board", minutes: 9 },
    { name: "close_cover", redoes: ["cover"], minutes: 2 },
    { name: "look_both", reads: ["glow", "rail"], minutes: 5, after: ["meter"] },
  ],
  rules: [{ when: ["in", "rail", [1]], out: ["supply_low"] }],
  nevers: [["and", ["in", "glow", [0]], ["in", "rail", [0]]]],
  proofs: [
    { times: 2, minutes: 2 },
    { times: 1, minutes: 3, for: ["ribbon"] },
  ],
})

/** What a sketch has no words for. */
const model: Model = {
  ...sketch,
  ruleset: { ...sketch.ruleset, name: "kiosk", title: "Kiosk dark", version: "1.0.0", money: "EUR" },
  complaint: { ...sketch.complaint, name: "dark", text: "the screen stays dark" },
  faults: sketch.faults.map((each) =>
    each.name === "ribbon_loose" ? { ...each, remedy: "Press both ends home." } : each,
  ),
  readings: sketch.readings.map((each) =>
    each.name === "rail"
      ? {
          ...each,
          question: "Rail at the plug, machine on",
          grid: { unit: "V", from: 0, to: 30, by: 0.01, count: 3001 },
          cells: tableOf([
            { label: "below 22.8 V", weight: 2280, first: 0, last: 2279 },
            { label: "from 22.8 V", weight: 721, first: 2280, last: 3000 },
          ]),
        }
      : each,
  ),
  tests: sketch.tests.map((each) =>
    each.name === "meter"
      ? {
          ...each,
          instruction: "Meter the rail",
          needs: ["multimeter"],
          cautions: ["Live plug: one hand, insulated probes."],
          power: "on" as const,
        }
      : each,
  ),
  rules: sketch.rules.map((each) => ({
    ...each,
    because: "a rail inside its limits clears the supply",
    line: 31,
    span: nowhere,
  })),
}

function planned(): Graph {
  const planner = makePlanner(model, { effort: 600, mass: 0.002 })
  planner.advance(Number.POSITIVE_INFINITY)
  return graphOf(model, planner.plan())
}

/** With the compiled plan. */
export const kiosk: Graph = planned()
/** Every step is taken from the model. */
export const unplanned: Graph = graphOf(model)
