import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Draw } from "../support/models.ts"
import { indexed } from "../support/plain.ts"
import type { Cell, CellSet, Condition } from "../support/plain-model.ts"

/** Small models for the analysis: few readings, and conditions nested as no author would write them. */
export interface Shape {
  readonly readings: number
  readonly cells: number
  readonly faults: number
  readonly rules: number
  readonly nevers: number
  readonly depth: number
}

export const shape: Shape = { readings: 4, cells: 3, faults: 4, rules: 6, nevers: 2, depth: 2 }

export function smallModel(draw: Draw, size: Shape = shape): Model {
  const likely = (percent: number) => draw.int(1, 100) <= percent
  let place = 0
  // Every clause has its own place, so that findings can be told apart by it.
  const span = (): Span => ({ file: "small.ruleout", start: place, end: ++place })
  const faults = draw.int(2, size.faults)
  const cellsOf = Array.from({ length: draw.int(1, size.readings) }, () => draw.int(2, size.cells))
  const cellSet = (reading: number): CellSet => Array.from({ length: cellsOf[reading]! }, () => likely(50))
  const condition = (depth: number): Condition => {
    if (depth === 0 || likely(45)) {
      const reading = draw.int(0, cellsOf.length - 1)
      return { kind: "in", reading, cells: cellSet(reading), span: span() }
    }
    const kind = (["and", "and", "or", "not"] as const)[draw.int(0, 3)]!
    if (kind === "not") return { kind, item: condition(depth - 1), span: span() }
    const items = Array.from({ length: draw.int(2, 3) }, () => condition(depth - 1))
    return { kind, items, span: span() }
  }
  const some = (percent: number) => Array.from({ length: faults }, (_, f) => f).filter(() => likely(percent))
  const certain = (count: number): Float64Array | undefined => {
    if (likely(75)) return undefined
    const chances = Float64Array.from({ length: count }, () => draw.int(0, 2))
    const sum = chances.reduce((a, b) => a + b, 0)
    return sum === 0 ? undefined : chances.map((chance) => chance / sum)
  }
  return indexed<Model>({
    ruleset: {
      name: "small",
      title: "small",
      version: "0.0.0",
      money: "EUR",
      bench: 60,
      waiting: 0,
      comeback: 100,
      handover: 100,
      trust: 0.9,
      second: likely(25) ? 0.1 : 0,
      unlisted: likely(20) ? 0.05 : 0,
      hedged: true,
      span: span(),
    },
    complaint: { name: "complaint", text: "it fails", minutes: 0, tries: 1, span: span() },
    places: Array.from({ length: faults }, (_, i) => ({
      name: `part${i}`,
      label: `part ${i}`,
      kind: "part" as const,
      price: 10,
      spare: true,
      behind: [],
      reach: [],
      cures: 1,
      span: span(),
    })),
    faults: Array.from({ length: faults }, (_, i) => ({
      name: `fault${i}`,
      label: `fault ${i}`,
      place: i,
      odds: 1,
      recurs: 1,
      chances: cellsOf.map((count) => (likely(70) ? undefined : certain(count))),
      shows: [],
      eased: [],
      span: span(),
    })),
    readings: cellsOf.map((count, i) => ({
      name: `reading${i}`,
      question: `reading ${i}`,
      told: likely(30),
      trust: 1,
      cells: Array.from({ length: count }, (_, c): Cell => ({ label: `v${c}`, value: `v${c}`, weight: 1 })),
      healthy: certain(count) ?? new Float64Array(count).fill(1 / count),
      span: span(),
    })),
    tests: [],
    rules: Array.from({ length: draw.int(1, size.rules) }, (_, i) => {
      const leaves = likely(30)
      const chosen = some(leaves ? 40 : 35)
      const listed = chosen.length > 0 ? chosen : [draw.int(0, faults - 1)]
      return {
        condition: condition(size.depth),
        of: listed,
        chance: likely(85) ? 1 : 0.6,
        verb: leaves ? ("leaves only" as const) : ("rule out" as const),
        span: span(),
        line: i + 1,
      }
    }),
    nevers: Array.from({ length: draw.int(0, size.nevers) }, () => ({
      condition: condition(size.depth),
      span: span(),
    })),
    proofs: [],
  })
}
