import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import { indexed } from "./plain.ts"
import type { Cell, Condition, Gate, Place, Reading, Test, Work } from "./plain-model.ts"
import { redone } from "./reference/redoing.ts"

/**
 * A model in a few lines, by names, without going through the language: so that tests of the planner and of published
 * figures stand on their own feet. Distributions are given over cells as they shall be in the model.
 */
export interface Sketch {
  readonly bench?: number
  readonly waiting?: number
  readonly comeback?: number
  readonly handover?: number
  readonly trust?: number
  readonly second?: number
  readonly unlisted?: number
  readonly complaint?: { readonly minutes?: number; readonly tries?: number }
  readonly places: readonly SketchPlace[]
  readonly faults: readonly SketchFault[]
  readonly readings?: readonly SketchReading[]
  readonly tests: readonly SketchTest[]
  readonly rules?: readonly SketchRule[]
  readonly nevers?: readonly SketchCondition[]
  readonly proofs?: readonly SketchProof[]
}

export interface SketchPlace {
  readonly name: string
  readonly kind: "part" | "setup"
  readonly price?: number
  readonly of?: string
  readonly behind?: readonly string[]
  readonly cures?: number
  readonly fit?: Partial<Work>
  readonly gate?: SketchGate
}

export interface SketchFault {
  readonly name: string
  readonly in: string
  readonly odds: number
  readonly recurs?: number
  readonly shows?: Readonly<Record<string, readonly number[]>>
  readonly fix?: Partial<Work>
  /** By setup, the chance that redoing it cures this fault too. */
  readonly eased?: Readonly<Record<string, number>>
  readonly gate?: SketchGate
}

export interface SketchGate {
  readonly after?: readonly string[]
  readonly afterAny?: readonly string[]
  readonly onlyIf?: SketchCondition
}

export interface SketchReading {
  readonly name: string
  /** Labels, or (a quantity) base measures of the cells. */
  readonly cells: readonly string[] | readonly number[]
  /** Base measure where not given. */
  readonly healthy?: readonly number[]
  readonly told?: boolean
  readonly trust?: number
  /** `told` only. */
  readonly minutes?: number
}

export interface SketchTest extends SketchGate {
  readonly name: string
  readonly reads?: readonly string[]
  readonly swaps?: string | readonly string[]
  readonly removes?: string | readonly string[]
  /** Setups named by the test; a pair where the test gives its own chance to cure. */
  readonly redoes?: readonly (string | readonly [string, number])[]
  readonly minutes?: number
  readonly costs?: number
  readonly waits?: number
  readonly risks?: readonly (readonly [string, number])[]
  /** Those of the complaint where not given. */
  readonly tries?: number
}

/** One of `out` and `only`. */
export interface SketchRule {
  readonly when: SketchCondition
  readonly out?: readonly string[]
  readonly only?: readonly string[]
  readonly chance?: number
}

export interface SketchProof {
  readonly times?: number
  readonly minutes?: number
  readonly expects?: readonly [string, readonly number[]]
  readonly for?: readonly string[]
}

/** `["in", reading, cells by index]` and so on. */
export type SketchCondition =
  | readonly ["in", string, readonly number[]]
  | readonly ["and" | "or", ...SketchCondition[]]
  | readonly ["not", SketchCondition]

export const nowhere: Span = { file: "sketch.ruleout", start: 0, end: 0 }

const free: Work = { minutes: 0, costs: 0, waits: 0 }

/** Throws on an unknown name: a sketch is written by us, not by a user. */
export function modelOf(sketch: Sketch): Model {
  const names = namesOf(sketch)
  const readings = readingsOf(sketch)
  const condition = conditions(names, readings)
  const gate = (each: SketchGate): Gate => ({
    after: (each.after ?? []).map(names.test),
    afterAny: (each.afterAny ?? []).map(names.test),
    ...(each.onlyIf ? { onlyIf: condition(each.onlyIf) } : {}),
  })
  const places = placesOf(sketch, names, gate)
  const proofs = (sketch.proofs ?? []).map(({ times = 1, minutes = 0, expects, for: where = [] }, index) => ({
    text: `proof ${index}`,
    times,
    timesAt: nowhere,
    minutes,
    ...(expects ? { expects: expecting(names, readings, expects) } : {}),
    places: where.map(names.place),
    span: nowhere,
  }))
  return indexed<Model>({
    ruleset: rulesetOf(sketch),
    complaint: {
      name: "complaint",
      text: "it does not work",
      minutes: sketch.complaint?.minutes ?? 0,
      tries: sketch.complaint?.tries ?? 1,
      span: nowhere,
    },
    places,
    faults: sketch.faults.map((each) => ({
      name: each.name,
      label: each.name,
      place: names.place(each.in),
      odds: each.odds,
      recurs: each.recurs ?? 1,
      chances: readings.map(({ name }) => each.shows?.[name] && Float64Array.from(each.shows[name])),
      shows: [],
      ...(each.fix ? { fix: { ...free, ...each.fix } } : {}),
      ...(each.gate ? { gate: gate(each.gate) } : {}),
      eased: Object.entries(each.eased ?? {}).map(([name, chance]) => ({ setup: names.place(name), chance })),
      span: nowhere,
    })),
    readings,
    tests: [...sketch.tests.map((each) => testOf(sketch, names, places, gate, each)), ...questionsOf(sketch)],
    rules: (sketch.rules ?? []).map(({ when, out, only, chance = 1 }, index) => ({
      condition: condition(when),
      verb: out ? ("rule out" as const) : ("leaves only" as const),
      of: (out ?? only ?? []).map(names.fault),
      chance,
      span: nowhere,
      line: index + 1,
    })),
    nevers: (sketch.nevers ?? []).map((each) => ({ condition: condition(each), span: nowhere })),
    proofs,
  })
}

function rulesetOf(sketch: Sketch): Model["ruleset"] {
  const bench = sketch.bench ?? 60
  return {
    name: "sketch",
    title: "Sketch",
    version: "1.0.0",
    money: "EUR",
    bench,
    waiting: sketch.waiting ?? 0,
    comeback: sketch.comeback ?? 2 * bench,
    handover: sketch.handover ?? 4 * bench,
    trust: sketch.trust ?? 0,
    second: sketch.second ?? 0,
    unlisted: sketch.unlisted ?? 0,
    hedged: sketch.second !== undefined || sketch.unlisted !== undefined,
    span: nowhere,
  }
}

type Names = ReturnType<typeof namesOf>

function namesOf(sketch: Sketch) {
  return {
    place: finder("place", sketch.places),
    fault: finder("fault", sketch.faults),
    reading: finder("reading", sketch.readings ?? []),
    test: finder("test", sketch.tests),
  }
}

function placesOf(sketch: Sketch, names: Names, gate: (from: SketchGate) => Gate): Place[] {
  const places = sketch.places.map((each) => ({
    name: each.name,
    label: each.name,
    kind: each.kind,
    price: each.price ?? 0,
    spare: each.kind === "part",
    ...(each.fit === undefined ? {} : { fit: { ...free, ...each.fit } }),
    ...(each.gate === undefined ? {} : { gate: gate(each.gate) }),
    ...(each.of === undefined ? {} : { of: names.place(each.of) }),
    behind: (each.behind ?? []).map(names.place),
    cures: each.cures ?? 1,
    span: nowhere,
  }))
  return places.map((each, index) => {
    const reached =
      each.kind === "part"
        ? redone(places, [index], [])
        : redone(places, [], [{ setup: index, cures: each.cures }])
    return { ...each, reach: reached.map(({ setup }) => setup) }
  })
}

function readingsOf(sketch: Sketch): Reading[] {
  return (sketch.readings ?? []).map((each) => {
    const cells: Cell[] = cellsOf(each.cells)
    return {
      name: each.name,
      question: each.name,
      told: each.told ?? false,
      trust: each.told ? (each.trust ?? 1) : 1,
      cells,
      healthy: Float64Array.from(each.healthy ?? baseMeasure(cells)),
      span: nowhere,
    }
  })
}

function conditions(names: Names, readings: readonly Reading[]) {
  const condition = (from: SketchCondition): Condition => {
    if (from[0] === "in") {
      return { kind: "in", ...expecting(names, readings, [from[1], from[2]]), span: nowhere }
    }
    if (from[0] === "not") return { kind: "not", item: condition(from[1]), span: nowhere }
    const [kind, ...items] = from
    return { kind, items: items.map(condition), span: nowhere }
  }
  return condition
}

function expecting(
  names: Names,
  readings: readonly Reading[],
  [name, wanted]: readonly [string, readonly number[]],
) {
  const reading = names.reading(name)
  return { reading, cells: readings[reading]!.cells.map((_, cell) => wanted.includes(cell)) }
}

function testOf(
  sketch: Sketch,
  names: Names,
  places: readonly Place[],
  gate: (from: SketchGate) => Gate,
  each: SketchTest,
): Test {
  const minutes = each.minutes ?? 0
  const costs = each.costs ?? 0
  const risks = (each.risks ?? []).map(([part, chance]) => ({ part: names.place(part), chance }))
  const lost = risks.reduce((sum, { part, chance }) => sum + chance * places[part]!.price, 0)
  const named = (each.redoes ?? []).map((item) => {
    const [name, cures] = typeof item === "string" ? [item, undefined] : item
    const setup = names.place(name)
    return { setup, cures: cures ?? places[setup]!.cures }
  })
  const parts = [each.swaps ?? each.removes ?? []].flat().map(names.place)
  const kind = each.reads ? "reads" : each.swaps ? "swaps" : each.removes ? "removes" : "redoes"
  return {
    name: each.name,
    instruction: each.name,
    kind,
    reads: (each.reads ?? []).map(names.reading),
    parts,
    redoes: redone(places, parts, named),
    minutes,
    waits: each.waits ?? 0,
    cost: (minutes * (sketch.bench ?? 60)) / 60 + costs + lost,
    costs,
    risks,
    needs: [],
    cautions: [],
    ...gate(each),
    tries: each.tries ?? sketch.complaint?.tries ?? 1,
    span: nowhere,
  }
}

function questionsOf(sketch: Sketch): Test[] {
  return (sketch.readings ?? []).flatMap((each, index): Test[] => {
    if (!each.told) return []
    const minutes = each.minutes ?? 0.5
    return [
      {
        name: each.name,
        instruction: each.name,
        kind: "told",
        reads: [index],
        parts: [],
        redoes: [],
        minutes,
        waits: 0,
        cost: (minutes * (sketch.bench ?? 60)) / 60,
        costs: 0,
        risks: [],
        needs: [],
        cautions: [],
        after: [],
        afterAny: [],
        tries: 1,
        span: nowhere,
      },
    ]
  })
}

function finder(kind: string, all: readonly { readonly name: string }[]): (name: string) => number {
  const indexes = new Map(all.map((each, index) => [each.name, index]))
  return (name) => {
    const index = indexes.get(name)
    if (index === undefined) throw new Error(`the sketch has no ${kind} ${name}`)
    return index
  }
}

function cellsOf(cells: readonly string[] | readonly number[]): Cell[] {
  let first = 0
  return cells.map((cell: string | number) => {
    if (typeof cell === "string") return { label: cell, value: cell, weight: 1 }
    const last = first + cell - 1
    const made = { label: `${first} to ${last}`, weight: cell, first, last }
    first = last + 1
    return made
  })
}

function baseMeasure(cells: readonly Cell[]): number[] {
  const sum = cells.reduce((so, cell) => so + cell.weight, 0)
  return cells.map((cell) => cell.weight / sum)
}
