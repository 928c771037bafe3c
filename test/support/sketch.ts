import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Cell, Condition, Model } from "../../compiler/model/model.ts"
import { redone } from "./reference.ts"

/**
 * A model in a few lines, by names, without going through the language: so that tests of the planner and of published
 * figures stand on their own feet. Distributions are given over cells as they shall be in the model.
 */
export interface Sketch {
  readonly bench?: number
  readonly comeback?: number
  readonly handover?: number
  readonly trust?: number
  readonly places: readonly SketchPlace[]
  readonly faults: readonly SketchFault[]
  readonly readings?: readonly SketchReading[]
  readonly tests: readonly SketchTest[]
  readonly rules?: readonly { readonly when: SketchCondition; readonly out: readonly string[] }[]
  readonly nevers?: readonly SketchCondition[]
}

export interface SketchPlace {
  readonly name: string
  readonly kind: "part" | "setup"
  readonly price?: number
  readonly of?: string
  readonly behind?: readonly string[]
  readonly cures?: number
}

export interface SketchFault {
  readonly name: string
  readonly in: string
  readonly odds: number
  readonly recurs?: number
  readonly shows?: Readonly<Record<string, readonly number[]>>
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

export interface SketchTest {
  readonly name: string
  readonly reads?: readonly string[]
  readonly swaps?: string
  /** Setups named by the test; a pair where the test gives its own chance to cure. */
  readonly redoes?: readonly (string | readonly [string, number])[]
  readonly minutes?: number
  readonly costs?: number
  readonly risks?: readonly (readonly [string, number])[]
  readonly after?: readonly string[]
  readonly onlyIf?: SketchCondition
  readonly tries?: number
}

/** `["in", reading, cells by index]` and so on. */
export type SketchCondition =
  | readonly ["in", string, readonly number[]]
  | readonly ["and" | "or", ...SketchCondition[]]
  | readonly ["not", SketchCondition]

export const nowhere: Span = { file: "sketch.ruleout", start: 0, end: 0 }

/** Throws on an unknown name: a sketch is written by us, not by a user. */
export function modelOf(sketch: Sketch): Model {
  const place = finder("place", sketch.places)
  const fault = finder("fault", sketch.faults)
  const reading = finder("reading", sketch.readings ?? [])
  const test = finder("test", sketch.tests)
  const bench = sketch.bench ?? 60

  const places = sketch.places.map((each) => ({
    name: each.name,
    label: each.name,
    kind: each.kind,
    price: each.price ?? 0,
    spare: each.kind === "part",
    ...(each.of === undefined ? {} : { of: place(each.of) }),
    behind: (each.behind ?? []).map(place),
    cures: each.cures ?? 1,
    span: nowhere,
  }))

  const readings = (sketch.readings ?? []).map((each) => {
    const cells: Cell[] = cellsOf(each.cells)
    const base = baseMeasure(cells)
    const trust = each.told ? (each.trust ?? 1) : 1
    return {
      name: each.name,
      question: each.name,
      told: each.told ?? false,
      trust,
      cells,
      healthy: mixed(each.healthy ?? base, base, trust),
      span: nowhere,
    }
  })

  const condition = (from: SketchCondition): Condition => {
    if (from[0] === "in") {
      const index = reading(from[1])
      const cells = readings[index]!.cells.map((_, cell) => from[2].includes(cell))
      return { kind: "in", reading: index, cells, span: nowhere }
    }
    if (from[0] === "not") return { kind: "not", item: condition(from[1]), span: nowhere }
    const [kind, ...items] = from
    return { kind, items: items.map(condition), span: nowhere }
  }

  const faults = sketch.faults.map((each) => ({
    name: each.name,
    label: each.name,
    place: place(each.in),
    odds: each.odds,
    recurs: each.recurs ?? 1,
    chances: readings.map(({ name, cells, trust }) => {
      const own = each.shows?.[name]
      return own && mixed(own, baseMeasure(cells), trust)
    }),
    shows: [],
    span: nowhere,
  }))

  const priceOf = (name: string) => places[place(name)]!.price
  const tests = sketch.tests.map((each) => {
    const minutes = each.minutes ?? 0
    const costs = each.costs ?? 0
    const risks = (each.risks ?? []).map(([part, chance]) => ({ part: place(part), chance }))
    const lost = (each.risks ?? []).reduce((sum, [part, chance]) => sum + chance * priceOf(part), 0)
    const named = (each.redoes ?? []).map((item) => {
      const [name, cures] = typeof item === "string" ? [item, places[place(item)]!.cures] : item
      return { setup: place(name), cures }
    })
    const part = each.swaps === undefined ? undefined : place(each.swaps)
    const kind = each.reads
      ? ("reads" as const)
      : part === undefined
        ? ("redoes" as const)
        : ("swaps" as const)
    return {
      name: each.name,
      instruction: each.name,
      kind,
      reads: (each.reads ?? []).map(reading),
      ...(part === undefined ? {} : { part }),
      redoes: redone(places, part, named),
      minutes,
      cost: (minutes * bench) / 60 + costs + lost,
      costs,
      risks,
      needs: [],
      cautions: [],
      after: (each.after ?? []).map(test),
      ...(each.onlyIf ? { onlyIf: condition(each.onlyIf) } : {}),
      tries: each.tries ?? 1,
      span: nowhere,
    }
  })
  const questions = readings.flatMap((each, index) => {
    if (!each.told) return []
    const minutes = sketch.readings![index]!.minutes ?? 0.5
    const none = {
      costs: 0,
      risks: [],
      redoes: [],
      needs: [],
      cautions: [],
      after: [],
      tries: 1,
      span: nowhere,
    }
    const cost = (minutes * bench) / 60
    return [
      {
        ...none,
        name: each.name,
        instruction: each.name,
        kind: "told" as const,
        reads: [index],
        minutes,
        cost,
      },
    ]
  })

  return {
    ruleset: {
      name: "sketch",
      title: "Sketch",
      version: "1.0.0",
      money: "EUR",
      bench,
      comeback: sketch.comeback ?? 2 * bench,
      handover: sketch.handover ?? 4 * bench,
      trust: sketch.trust ?? 0,
      span: nowhere,
    },
    complaint: { name: "complaint", text: "it does not work", span: nowhere },
    places,
    faults,
    readings,
    tests: [...tests, ...questions],
    rules: (sketch.rules ?? []).map((each, index) => ({
      condition: condition(each.when),
      out: each.out.map(fault),
      verb: "rule out" as const,
      span: nowhere,
      line: index + 1,
    })),
    nevers: (sketch.nevers ?? []).map((each) => ({ condition: condition(each), span: nowhere })),
    proofs: [],
  }
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

/** What a told answer is worth: `trust` of the distribution, the rest spread by base measure. */
function mixed(distribution: readonly number[], base: readonly number[], trust: number): Float64Array {
  return Float64Array.from(distribution, (chance, cell) => trust * chance + (1 - trust) * base[cell]!)
}
