import fc from "fast-check"
import type {
  Sketch,
  SketchCondition,
  SketchFault,
  SketchPlace,
  SketchReading,
  SketchTest,
} from "./sketch.ts"

/** Where the randomness comes from: a seed, for benches, or fast-check, which then shrinks what it drew. */
export interface Draw {
  /** A whole number, both ends included. */
  int(from: number, to: number): number
}

export function seeded(seed: number): Draw {
  let state = seed >>> 0
  // mulberry32 (T. Ettinger 2017, public domain): short, and the same in every engine.
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
  return { int: (from, to) => from + Math.floor(next() * (to - from + 1)) }
}

/** Upper bounds on what is drawn; `exactly` draws just these numbers. */
export interface Size {
  readonly parts: number
  readonly setups: number
  readonly faults: number
  readonly readings: number
  readonly told: number
  readonly tests: number
  readonly rules: number
  readonly nevers: number
  readonly exactly?: boolean
}

/** Small enough for trying every policy. */
export const tiny: Size = {
  parts: 2,
  setups: 2,
  faults: 4,
  readings: 2,
  told: 1,
  tests: 3,
  rules: 2,
  nevers: 1,
}

/** Within reach of exact dynamic programming. */
export const medium: Size = {
  parts: 5,
  setups: 5,
  faults: 14,
  readings: 8,
  told: 2,
  tests: 12,
  rules: 10,
  nevers: 2,
  exactly: true,
}

/** What a shop's ruleset looks like. */
export const shop: Size = {
  parts: 20,
  setups: 20,
  faults: 60,
  readings: 30,
  told: 5,
  tests: 45,
  rules: 60,
  nevers: 6,
  exactly: true,
}

/** What a manufacturer's ruleset looks like. */
export const maker: Size = {
  parts: 120,
  setups: 80,
  faults: 500,
  readings: 300,
  told: 20,
  tests: 320,
  rules: 2000,
  nevers: 40,
  exactly: true,
}

export function sketchFrom(draw: Draw, size: Size): Sketch {
  const upTo = (least: number, most: number) => (size.exactly ? most : draw.int(least, most))
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const some = <T>(items: readonly T[], percent: number) => items.filter(() => likely(percent))
  const few = <T>(items: readonly T[], most: number): T[] =>
    items.length === 0 ? [] : [...new Set(Array.from({ length: draw.int(0, most) }, () => pick(items)))]
  const list = (count: number, prefix: string) => Array.from({ length: count }, (_, i) => `${prefix}${i}`)

  const parts = list(upTo(0, size.parts), "part")
  const setups = list(upTo(parts.length === 0 ? 1 : 0, size.setups), "setup")
  const places: SketchPlace[] = [
    ...parts.map((name) => ({
      name,
      kind: "part" as const,
      price: draw.int(0, 30) * 10,
      behind: few(setups, 1),
    })),
    // A setup is only behind earlier ones, so that `behind` has no cycle.
    ...setups.map((name, i) => ({
      name,
      kind: "setup" as const,
      behind: few(setups.slice(0, i), 1),
      cures: pick([1, 1, 0.85, 0.4]),
      ...(parts.length > 0 && likely(50) ? { of: pick(parts) } : {}),
    })),
  ]

  const readings: SketchReading[] = [
    ...list(upTo(0, size.readings), "reading").map((name) => ({ name, told: false })),
    ...list(upTo(0, size.told), "told").map((name) => ({
      name,
      told: true,
      trust: pick([1, 0.8, 0.5]),
      minutes: draw.int(0, 3),
    })),
  ].map((each) => {
    const cells = likely(50)
      ? ["yes", "no"]
      : likely(50)
        ? ["low", "right", "high"]
        : list(draw.int(2, 3), "").map(() => draw.int(1, 40))
    return { ...each, cells, ...(likely(60) ? { healthy: shown(cells) } : {}) }
  })

  /** What `C p%` makes of a reading: p on some cells, the rest on the others, by base measure. */
  function shown(cells: readonly string[] | readonly number[]): number[] {
    const weights = cells.map((cell) => (typeof cell === "number" ? cell : 1))
    const cut = draw.int(0, cells.length - 1)
    const percent = pick([100, 97, 90, 70, 50])
    const inside = weights.map((weight, i) => (i === cut ? weight : 0))
    const outside = weights.map((weight, i) => (i === cut ? 0 : weight))
    const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)
    return weights.map(
      (_, i) =>
        ((percent / 100) * inside[i]!) / sum(inside) + ((1 - percent / 100) * outside[i]!) / sum(outside),
    )
  }

  const faults: SketchFault[] = list(Math.max(upTo(2, size.faults), 1), "fault").map((name) => ({
    name,
    in: pick(places).name,
    odds: draw.int(1, 12),
    recurs: pick([1, 1, 1, 0.7, 0.3]),
    shows: Object.fromEntries(
      some(readings, size.exactly ? Math.min(40, 400 / size.readings) : 50).map((each) => [
        each.name,
        shown(each.cells),
      ]),
    ),
  }))

  function condition(depth: number): SketchCondition {
    const reading = pick(readings)
    const cells = reading.cells.map((_: unknown, i: number) => i)
    if (depth === 0 || likely(50)) {
      return ["in", reading.name, likely(80) ? [pick(cells)] : some(cells, 50)]
    }
    const kind = pick(["and", "or", "not"] as const)
    return kind === "not" ? ["not", condition(depth - 1)] : [kind, condition(depth - 1), condition(depth - 1)]
  }

  const read = readings.filter((each) => !each.told).map((each) => each.name)
  const named = () =>
    few(setups, 2).map((setup) => (likely(30) ? ([setup, 0.5] as const) : setup)) as SketchTest["redoes"] & {}
  const tests: SketchTest[] = []
  for (const name of list(upTo(2, size.tests), "test")) {
    const kinds = [
      ...(read.length > 0 ? ["reads", "reads"] : []),
      ...(parts.length > 0 ? ["swaps"] : []),
      ...(setups.length > 0 ? ["redoes"] : []),
    ]
    const kind = pick(kinds)
    tests.push({
      name,
      minutes: draw.int(size.exactly ? 1 : 0, 20),
      costs: pick([0, 0, 5, 12.5]),
      ...(kind === "reads" ? { reads: [...new Set([pick(read), ...(likely(25) ? [pick(read)] : [])])] } : {}),
      ...(kind === "swaps" ? { swaps: pick(parts), ...(likely(30) ? { redoes: named() } : {}) } : {}),
      ...(kind === "redoes" ? { redoes: [...new Set([pick(setups), ...(likely(20) ? named() : [])])] } : {}),
      ...(kind === "reads" ? {} : { tries: draw.int(1, 3) }),
      ...(likely(15) && tests.length > 0 ? { after: [pick(tests).name] } : {}),
      ...(likely(15) && readings.length > 0 ? { onlyIf: condition(1) } : {}),
      ...(likely(15) && parts.length > 0 ? { risks: [[pick(parts), 0.02] as const] } : {}),
    })
  }

  const names = faults.map((each) => each.name)
  return {
    bench: 60,
    comeback: likely(90) ? draw.int(2, 30) * 10 : 0,
    handover: draw.int(1, 40) * 10,
    trust: pick([0, 0, 0.37, 0.63, 0.83, 0.93, 1]),
    places,
    faults,
    readings,
    tests,
    rules:
      readings.length === 0
        ? []
        : list(upTo(0, size.rules), "").map(() => ({
            when: condition(1),
            out: [...new Set([pick(names), ...(likely(30) ? [pick(names)] : [])])],
          })),
    nevers: readings.length === 0 ? [] : list(upTo(0, size.nevers), "").map(() => condition(1)),
  }
}

/** Sketches for fast-check, which shrinks towards few and small things. */
export function sketches(size: Size): fc.Arbitrary<Sketch> {
  return fc
    .gen()
    .map((g) =>
      sketchFrom({ int: (from, to) => g(fc.integer, { min: from, max: Math.max(from, to) }) }, size),
    )
}
