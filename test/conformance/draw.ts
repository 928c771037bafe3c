/** The vectors: walks over the compiled plans of random models; what must come out is the reference's word. */
import type { Model } from "../../compiler/model/model.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import type { Act, Graph, GraphNode } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Draw, type Size, seeded, sketchFrom, tiny } from "../support/models.ts"
import {
  type Action,
  actions,
  isActive,
  type Outcome,
  outcomes,
  type State,
  start,
} from "../support/reference.ts"
import { modelOf } from "../support/sketch.ts"
import type { Deed, Expected, Vectors, Walk } from "./vectors.ts"

const WALKS = 26
const LEAST_NODES = 6
const size: Size = {
  ...tiny,
  parts: 3,
  setups: 3,
  faults: 5,
  readings: 3,
  told: 2,
  tests: 7,
  rules: 3,
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

/** A random model, with units on what is measured. */
function drawn(draw: Draw): Model {
  const model = modelOf(sketchFrom(draw, size))
  const readings = model.readings.map((reading) => {
    const last = reading.cells.at(-1)!.last
    if (last === undefined) return reading
    const { unit, by } = scales[draw.int(0, scales.length - 1)]!
    const from = Number((draw.int(-2, 2) * by * 10).toPrecision(12))
    return {
      ...reading,
      grid: { unit, from, to: Number((from + last * by).toPrecision(12)), by, count: last + 1 },
    }
  })
  return { ...model, readings }
}

function planned(model: Model): Graph {
  const planner = makePlanner(model, { effort: 800, mass: 0.01 })
  planner.advance(Number.POSITIVE_INFINITY)
  return graphOf(model, planner.plan())
}

/** A value that falls into this cell, as somebody would say it. */
function say(graph: Graph, reading: number, cell: number, draw: Draw): unknown {
  const { cells, unit, by, from: least, to: most } = graph.readings[reading]!
  const { values, from, to } = cells[cell]!
  if (values) return values[draw.int(0, values.length - 1)]
  // At a border as often as within; a hair off the grid it is rounded back to it.
  const steps = Math.round((to! - from!) / by!)
  const at = [0, steps, draw.int(0, steps)][draw.int(0, 2)]!
  const value = Math.min(
    Math.max(from! + at * by! + [0, 0, 0.3 * by!, -0.3 * by!][draw.int(0, 3)]!, least!),
    most!,
  )
  const tidy = (x: number) => Number(x.toPrecision(9))
  const scale = scales.find((each) => each.unit === unit)
  const way = draw.int(0, 2)
  if (way === 0) return tidy(value)
  if (way === 1 || !scale) return `${tidy(value)} ${unit}`
  const [other, factor] = scale.also[draw.int(0, scale.also.length - 1)]!
  return `${tidy(value * factor)}${draw.int(0, 1) ? " " : ""}${other}`
}

/** One step of a walk on both sides: by the reference's actions, and by the names of the graph. */
interface Taken {
  readonly action: Action
  readonly on: Outcome["on"]
  /** Whether it changed nothing and told nothing but readings, so that it can be taken back by itself. */
  readonly isReading: boolean
}

class Walker {
  readonly steps: Walk["steps"][number][] = []
  readonly kinds = new Set<string>()
  #log: Taken[] = []
  #state: State
  /** Where the graph stands; undefined where the log is on none of its paths. */
  #node: GraphNode | undefined
  #ended = false
  readonly #unable = new Set<string>()

  constructor(
    readonly model: Model,
    readonly graph: Graph,
    readonly draw: Draw,
  ) {
    this.#state = start(model)
    this.#node = graph.nodes[graph.start]
  }

  walk(): Walk {
    const begin = this.expected()
    for (let turn = this.draw.int(4, 9); turn > 0 && !this.#ended; turn--) {
      const luck = this.draw.int(1, 100)
      if (luck <= 8) this.refused()
      else if (luck <= 16) this.undo()
      else if (luck <= 22) this.cannot()
      else if (!this.act(luck <= 70)) break
    }
    return { about: [...this.kinds].join(", "), start: begin, steps: this.steps }
  }

  expected(): Expected {
    const { model } = this
    const name = (fault: number) => model.faults[fault]!.name
    const { hypotheses, fitted } = this.#state
    const chances = new Map<string, { faults: string[]; cured: string[]; chance: number }>()
    const active: Record<string, number> = {}
    for (const h of hypotheses) {
      const [faults, cured] = [h.faults.map(name), h.cured.map(name)]
      const key = `${faults}/${cured}`
      const known = chances.get(key) ?? { faults, cured, chance: 0 }
      chances.set(key, { ...known, chance: known.chance + h.weight })
      for (const fault of h.faults)
        if (!h.cured.includes(fault) && !fitted.has(model.faults[fault]!.place))
          active[name(fault)] = (active[name(fault)] ?? 0) + h.weight
    }
    return { hypotheses: [...chances.values()], active, ...this.#next() }
  }

  #next(): Pick<Expected, "next"> {
    if (this.#ended) return { next: { end: true } }
    if (this.#state.hypotheses.length === 0) return { next: { handOver: true } }
    const node = this.#node
    if (!node || node.do === "advise") return {}
    if (node.do === "handover") return { next: { handOver: true } }
    if (this.#unable.has(keyOf(node as Action))) return {}
    return { next: this.#actOf(node as Action) }
  }

  #actOf(action: Action): Act {
    const { tests, places, faults } = this.model
    if (action.do === "test") return { test: tests[action.test]!.name }
    if (action.do === "fix") return { fix: faults[action.fault]!.name }
    if (action.do === "look") return { look: true }
    if (action.do === "close") return { close: true }
    if (action.do === "handover") return { handOver: true }
    return { [action.do]: places[action.part]!.name } as unknown as Act
  }

  /** Along the graph where it applies, or whatever else may be done; false where nothing is left. */
  act(followed: boolean): boolean {
    const { model, draw } = this
    const open = actions(model, this.#state).filter((each) => each.do !== "handover")
    if (open.length === 0) return false
    const node = this.#node
    const onGraph = node && node.do !== "advise" && node.do !== "handover" ? node : undefined
    const wanted = onGraph && open.find((each) => same(each, onGraph as Action))
    const along = followed && wanted !== undefined
    const bare = along ? wanted : open[draw.int(0, open.length - 1)]!
    const leftIn = along ? onGraph!.edges.some(({ leaveIn }) => leaveIn) : draw.int(0, 1) === 1
    const isSwap = bare.do === "test" && model.tests[bare.test]!.kind === "swaps"
    const action = isSwap && leftIn ? { ...bare, leaveIn: true } : bare
    const all = outcomes(model, this.#state, action)
    if (all.length === 0) return false
    const { on, state } = all[draw.int(0, all.length - 1)]!
    const stepped =
      wanted !== undefined &&
      same(bare, wanted) &&
      (!isSwap || leftIn === onGraph!.edges.some((e) => e.leaveIn))
    this.kinds.add(stepped ? "along the graph" : "out of order")
    this.kinds.add(typeof on === "string" ? `${action.do} ${on}` : "read")
    this.#state = state
    const edge = stepped ? onGraph!.edges.find((each) => String(each.on) === String(on)) : undefined
    this.#node = edge?.to === undefined ? undefined : this.graph.nodes[edge.to]
    this.#ended = on === "holds"
    this.#unable.delete(keyOf(action))
    this.#log.push({ action, on, isReading: typeof on !== "string" })
    this.#add({ act: this.#actOf(action), found: this.#said(action, on), ...(isSwap ? { leftIn } : {}) })
    return true
  }

  #said(action: Action, on: Taken["on"]): unknown {
    if (typeof on === "string") return on
    const { reads } = this.model.tests[(action as { test: number }).test]!
    const said = reads.map(
      (r, i) => [this.model.readings[r]!.name, say(this.graph, r, on[i]!, this.draw)] as const,
    )
    if (said.some(([, value]) => typeof value === "number" || /\d/.test(String(value))))
      this.kinds.add("measured")
    return said.length === 1 && this.draw.int(0, 1) ? said[0]![1] : Object.fromEntries(said)
  }

  #add(deed: Deed): void {
    this.steps.push({ do: deed, expect: this.expected() })
  }

  /** Takes back the last step, or a reading before it; the reference does the rest once more. */
  undo(): void {
    const can = this.#log.flatMap(({ isReading }, i) => (isReading || i === this.#log.length - 1 ? [i] : []))
    if (can.length === 0 || this.kinds.has("cannot be done")) return
    const undone = can[this.draw.int(0, can.length - 1)]!
    const log = this.#log.filter((_, i) => i !== undone)
    let state: State | undefined = start(this.model)
    for (const { action, on } of log) {
      if (!state) return
      // What could not have come out like this without the step taken back is another walk's matter.
      state = outcomes(this.model, state, action).find((each) => String(each.on) === String(on))?.state
    }
    if (!state) return
    this.kinds.add("taken back")
    this.#state = state
    this.#log = log
    this.#node = undefined
    if (log.length === 0) this.#node = this.graph.nodes[this.graph.start]
    this.#ended = false
    this.#add({ undo: undone })
    // Whether the rest is a path of the graph again is for `follows`, which a later step would need; here it is left open.
    if (log.length > 0) this.#free()
  }

  /** Takes the step out of the last expectation: the log may be one of the graph's paths, or none. */
  #free(): void {
    const last = this.steps.pop()!
    if (last.expect === "refused") return
    const { next: _, ...expect } = last.expect
    this.steps.push({ do: last.do, expect: this.#state.hypotheses.length === 0 ? last.expect : expect })
  }

  cannot(): void {
    const { draw, model } = this
    const open = actions(model, this.#state).filter((each) => each.do === "test" || each.do === "replace")
    if (open.length === 0) return
    const action = open[draw.int(0, open.length - 1)]!
    this.kinds.add("cannot be done")
    this.#unable.add(keyOf(action))
    this.#add({ cannot: this.#actOf(action) })
  }

  refused(): void {
    const { graph, draw } = this
    const [first] = this.model.tests
    const out = graph.places.find(({ kind }, p) => kind === "part" && !this.#state.fitted.has(p))
    const measured = graph.readings.find(({ by, told }) => by !== undefined && !told)
    const bad: Deed[] = [
      { act: { test: "no_such_test" }, found: "yes" },
      { act: { test: first!.name }, found: {} },
      { undo: this.steps.length + 1 },
      { cannot: { test: "no_such_test" } },
      ...(out ? [{ act: { putBack: out.name }, found: "gone" }] : []),
      ...(measured
        ? [
            { act: { reading: measured.name }, found: `${measured.to! + 2 * measured.by!} ${measured.unit}` },
            { act: { reading: measured.name }, found: "5 lm" },
          ]
        : []),
    ]
    this.kinds.add("refused")
    this.steps.push({ do: bad[draw.int(0, bad.length - 1)]!, expect: "refused" })
  }

  /** The machine comes back, where that has a chance. */
  comesBack(): void {
    const { hypotheses } = this.#state
    const none = new Map<number, never>()
    const active = hypotheses.filter((h) => isActive(this.model, h, none))
    if (!this.#ended || active.length === 0) return
    const all = active.reduce((sum, { weight }) => sum + weight, 0)
    this.#state = {
      ...this.#state,
      hypotheses: active.map((h) => ({ ...h, weight: h.weight / all })),
      fitted: none,
    }
    this.#ended = false
    this.#node = undefined
    this.kinds.add("came back")
    this.#add({ cameBack: true })
  }
}

function keyOf(action: Action): string {
  const parts = ["test", "part", "fault"].map((key) => (action as unknown as Record<string, number>)[key])
  return [action.do, ...parts].join()
}

function same(a: Action, b: Action): boolean {
  return keyOf(a) === keyOf(b)
}

/** The vectors of a seed; undefined where its plan is too short to be followed. */
export function vectorsFrom(seed: number): Vectors | undefined {
  const draw = seeded(seed)
  const model = drawn(draw)
  const graph = planned(model)
  if (graph.nodes.length < LEAST_NODES) return undefined
  const walks = Array.from({ length: WALKS }, () => {
    const walker = new Walker(model, graph, draw)
    const walk = walker.walk()
    walker.comesBack()
    return { ...walk, about: [...walker.kinds].join(", ") }
  })
  return { format: "ruleout-vectors/2", seed, graph, walks }
}
