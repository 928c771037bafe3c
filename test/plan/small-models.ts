import type { Model } from "../../compiler/model/model.ts"
import type { Draw } from "../support/models.ts"
import {
  modelOf,
  type Sketch,
  type SketchCondition,
  type SketchFault,
  type SketchPlace,
  type SketchReading,
  type SketchRule,
  type SketchTest,
} from "../support/sketch.ts"

/**
 * Models so small that every plan can be tried, with everything that the language has: two faults at once, something
 * not listed, faults that come and go, uncertain cures, parts behind setups, what is told with little trust, rules with
 * a percentage, nevers, proofs for some places only.
 */
export function smallModel(draw: Draw): Model {
  return modelOf(smallSketch(draw))
}

export function smallSketch(draw: Draw): Sketch {
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const list = (count: number, prefix: string) => Array.from({ length: count }, (_, i) => `${prefix}${i}`)
  const maybe = <T>(percent: number, make: () => T): T | undefined => (likely(percent) ? make() : undefined)

  const parts = list(draw.int(0, 2), "part")
  const setups = list(draw.int(parts.length === 0 ? 1 : 0, 2), "setup")
  const places: SketchPlace[] = [
    ...parts.map((name) => ({
      name,
      kind: "part" as const,
      price: draw.int(0, 15) * 10,
      ...(setups.length > 0 && likely(25) ? { behind: [pick(setups)] } : {}),
      ...(likely(20) ? { fit: { minutes: draw.int(0, 20), waits: pick([0, 0, 30]) } } : {}),
    })),
    ...setups.map((name, i) => ({
      name,
      kind: "setup" as const,
      cures: pick([1, 1, 0.85, 0.4]),
      ...(i > 0 && likely(20) ? { behind: [setups[0]!] } : {}),
      ...(parts.length > 0 && likely(50) ? { of: pick(parts) } : {}),
    })),
  ]
  const readings = drawReadings(draw)
  const shown = ({ cells }: SketchReading) => drawChances(draw, cells.length)
  const faults: SketchFault[] = list(draw.int(1, 3), "fault").map((name) => ({
    name,
    in: pick(places).name,
    odds: draw.int(1, 9),
    recurs: pick([1, 1, 1, 0.6]),
    shows: Object.fromEntries(
      readings.filter(() => likely(60)).map((reading) => [reading.name, shown(reading)]),
    ),
    ...(likely(15) ? { fix: { minutes: draw.int(0, 30), costs: pick([0, 5]), waits: pick([0, 60]) } } : {}),
    ...(setups.length > 0 && likely(15) ? { eased: { [pick(setups)]: pick([0.3, 0.5]) } } : {}),
  }))
  for (const fault of faults) {
    const { eased } = fault
    if (eased && fault.in in eased) delete (fault as { eased?: unknown }).eased
  }

  const condition = (depth: number): SketchCondition => {
    const { name, cells } = pick(readings)
    if (depth === 0 || likely(60)) return ["in", name, [draw.int(0, cells.length - 1)]]
    const kind = pick(["and", "and", "or", "not"] as const)
    return kind === "not" ? ["not", condition(depth - 1)] : [kind, condition(depth - 1), condition(depth - 1)]
  }
  const names = faults.map(({ name }) => name)
  const some = () => {
    const chosen = names.filter(() => likely(40))
    return chosen.length > 0 ? chosen : [pick(names)]
  }
  const rules: SketchRule[] =
    readings.length === 0
      ? []
      : list(draw.int(0, 2), "").map(() => ({
          when: condition(1),
          ...(likely(60) ? { out: some() } : { only: some() }),
          chance: pick([1, 1, 0.9, 0.5]),
        }))
  const onlyIf = () => maybe(readings.length > 0 ? 10 : 0, () => condition(0))
  return {
    bench: 60,
    waiting: pick([0, 0, 6]),
    comeback: draw.int(0, 30) * 10,
    handover: draw.int(1, 40) * 10,
    trust: pick([0, 0, 0.5, 0.9]),
    second: pick([0, 0.1, 0.3]),
    unlisted: pick([0, 0.05, 0.2]),
    complaint: { minutes: pick([0, 0, 1]), tries: draw.int(1, 2) },
    places,
    faults,
    readings,
    tests: drawTests(draw, parts, setups, readings, onlyIf),
    rules,
    nevers: readings.length > 0 && likely(20) ? [condition(1)] : [],
    proofs: drawProofs(draw, places, readings),
  }
}

function drawReadings(draw: Draw): SketchReading[] {
  const count = draw.int(0, 2)
  return Array.from({ length: count }, (_, i): SketchReading => {
    const cells = draw.int(0, 2) > 0 ? ["yes", "no"] : [2, 1, 3]
    const isTold = draw.int(0, 3) === 0
    return {
      name: `reading${i}`,
      cells,
      ...(draw.int(0, 2) > 0 ? { healthy: drawChances(draw, cells.length) } : {}),
      ...(isTold ? { told: true, trust: [1, 0.8, 0.5][draw.int(0, 2)]!, minutes: draw.int(0, 2) } : {}),
    }
  })
}

/** Most of it on one cell, now and then all. */
function drawChances(draw: Draw, cells: number): number[] {
  const at = draw.int(0, cells - 1)
  const share = [1, 1, 0.97, 0.8, 0.5][draw.int(0, 4)]!
  return Array.from({ length: cells }, (_, i) => (i === at ? share : (1 - share) / (cells - 1)))
}

function drawTests(
  draw: Draw,
  parts: readonly string[],
  setups: readonly string[],
  readings: readonly SketchReading[],
  onlyIf: () => SketchCondition | undefined,
): SketchTest[] {
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const read = readings.filter(({ told }) => !told).map(({ name }) => name)
  const tests: SketchTest[] = []
  const count = draw.int(1, 3)
  for (let i = 0; i < count; i++) {
    const kinds = [
      ...(read.length > 0 ? (["reads", "reads"] as const) : []),
      ...(parts.length > 0 ? (["swaps", "swaps", "removes"] as const) : []),
      ...(setups.length > 0 ? (["redoes", "redoes"] as const) : []),
    ]
    const kind = pick(kinds)
    const condition = onlyIf()
    const named = (): readonly (string | readonly [string, number])[] => {
      const setup = pick(setups)
      return [likely(25) ? [setup, 0.5] : setup]
    }
    tests.push({
      name: `test${i}`,
      minutes: draw.int(0, 20),
      costs: pick([0, 0, 5]),
      ...(likely(10) ? { waits: 30 } : {}),
      ...(kind === "reads" ? { reads: likely(20) ? read : [pick(read)] } : {}),
      ...(kind === "swaps" ? { swaps: likely(20) ? parts : pick(parts) } : {}),
      ...(kind === "removes" ? { removes: pick(parts) } : {}),
      ...(kind === "redoes" || (kind !== "reads" && setups.length > 0 && likely(20))
        ? { redoes: named() }
        : {}),
      ...(kind !== "reads" && likely(40) ? { tries: draw.int(1, 3) } : {}),
      ...(i > 0 && likely(10) ? { after: [tests[0]!.name] } : {}),
      ...(i > 1 && likely(10) ? { afterAny: [tests[0]!.name, tests[1]!.name] } : {}),
      ...(condition ? { onlyIf: condition } : {}),
      ...(parts.length > 0 && likely(10) ? { risks: [[pick(parts), 0.02] as const] } : {}),
    })
  }
  return tests
}

function drawProofs(
  draw: Draw,
  places: readonly SketchPlace[],
  readings: readonly SketchReading[],
): Sketch["proofs"] & {} {
  const read = readings.filter(({ told }) => !told)
  return Array.from({ length: draw.int(0, 2) }, (_, i) => ({
    times: draw.int(1, 3),
    minutes: draw.int(0, 4),
    ...(i > 0 ? { for: [places[draw.int(0, places.length - 1)]!.name] } : {}),
    ...(read.length > 0 && draw.int(0, 3) === 0 ? { expects: [read[0]!.name, [0]] as const } : {}),
  }))
}
