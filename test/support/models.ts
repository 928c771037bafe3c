import fc from "fast-check"
import type {
  Sketch,
  SketchCondition,
  SketchFault,
  SketchGate,
  SketchPlace,
  SketchProof,
  SketchReading,
  SketchRule,
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
  readonly proofs: number
  readonly exactly?: boolean
  /** Whether repairs wait for tests and findings. */
  readonly gates?: boolean
}

/** Small enough for trying every plan, all features of the language among them. */
export const tiny: Size = {
  parts: 2,
  setups: 2,
  faults: 3,
  readings: 2,
  told: 1,
  tests: 3,
  rules: 2,
  nevers: 1,
  proofs: 2,
  gates: true,
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
  proofs: 2,
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
  proofs: 3,
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
  proofs: 5,
  exactly: true,
}

export function sketchFrom(draw: Draw, size: Size): Sketch {
  const draws = new Drawing(draw, size)
  const { upTo, list } = draws
  const parts = list(upTo(0, size.parts), "part")
  const setups = list(upTo(parts.length === 0 ? 1 : 0, size.setups), "setup")
  const places = draws.places(parts, setups)
  const readings = draws.readings()
  const faults = draws.faults(places, readings, setups)
  const tests = draws.tests(parts, setups, readings)
  const names = faults.map((each) => each.name)
  const known = readings.length > 0
  const drawn = {
    ...draws.ruleset(),
    places,
    faults,
    readings,
    tests,
    rules: known ? list(upTo(0, size.rules), "").map(() => draws.rule(names, readings)) : [],
    nevers: known ? list(upTo(0, size.nevers), "").map(() => draws.condition(readings, 1)) : [],
    proofs: list(upTo(0, size.proofs), "").map(() => draws.proof(places, readings)),
  }
  // Drawn last, so that a seed draws all else as it does without gates.
  if (!size.gates) return drawn
  const gated = <T extends object>(each: T): T => ({ ...each, ...draws.gate(tests, readings) })
  return {
    ...drawn,
    places: places.map((place) => (place.kind === "part" ? gated(place) : place)),
    faults: faults.map(gated),
  }
}

class Drawing {
  readonly #draw: Draw
  readonly #size: Size

  constructor(draw: Draw, size: Size) {
    this.#draw = draw
    this.#size = size
  }

  readonly upTo = (least: number, most: number) => (this.#size.exactly ? most : this.#draw.int(least, most))
  readonly list = (count: number, prefix: string) => Array.from({ length: count }, (_, i) => `${prefix}${i}`)
  readonly #likely = (percent: number) => this.#draw.int(1, 100) <= percent
  readonly #pick = <T>(items: readonly T[]): T => items[this.#draw.int(0, items.length - 1)]!
  readonly #some = <T>(items: readonly T[], percent: number) => items.filter(() => this.#likely(percent))
  readonly #few = <T>(items: readonly T[], most: number): T[] =>
    items.length === 0
      ? []
      : [...new Set(Array.from({ length: this.#draw.int(0, most) }, () => this.#pick(items)))]

  /** A clause in so many cases of a hundred, else none. */
  #maybe<K extends string, T>(percent: number, key: K, value: () => T): { [k in K]?: T } {
    return this.#likely(percent) ? ({ [key]: value() } as { [k in K]: T }) : {}
  }

  #work() {
    return {
      minutes: this.#draw.int(0, 20),
      costs: this.#pick([0, 0, 15]),
      waits: this.#pick([0, 0, 120]),
    }
  }

  ruleset() {
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    return {
      bench: 60,
      comeback: likely(90) ? draw.int(2, 30) * 10 : 0,
      handover: draw.int(1, 40) * 10,
      trust: pick([0, 0, 0.37, 0.63, 0.83, 0.93, 1]),
      ...this.#maybe(50, "second", () => pick([0.05, 0.2, 0.6])),
      ...this.#maybe(50, "unlisted", () => pick([0.03, 0.1, 0.4])),
      ...this.#maybe(40, "waiting", () => pick([6, 30])),
      complaint: {
        ...this.#maybe(40, "minutes", () => pick([0.5, 2])),
        ...this.#maybe(40, "tries", () => draw.int(1, 3)),
      },
    }
  }

  places(parts: readonly string[], setups: readonly string[]): SketchPlace[] {
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    const few = this.#few
    return [
      ...parts.map((name) => ({
        name,
        kind: "part" as const,
        price: draw.int(0, 30) * 10,
        behind: few(setups, 1),
        ...this.#maybe(30, "fit", () => this.#work()),
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
  }

  readings(): SketchReading[] {
    const { list, upTo } = this
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    const size = this.#size
    return [
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
      return { ...each, cells, ...this.#maybe(60, "healthy", () => this.#shown(cells)) }
    })
  }

  /** What `C p%` makes of a reading: p on some cells, the rest on the others, by base measure. */
  #shown(cells: readonly string[] | readonly number[]): number[] {
    const weights = cells.map((cell) => (typeof cell === "number" ? cell : 1))
    const cut = this.#draw.int(0, cells.length - 1)
    const percent = this.#pick([100, 100, 97, 90, 70, 50])
    const inside = weights.map((weight, i) => (i === cut ? weight : 0))
    const outside = weights.map((weight, i) => (i === cut ? 0 : weight))
    const sum = (all: readonly number[]) => all.reduce((so, each) => so + each, 0)
    return weights.map(
      (_, i) =>
        ((percent / 100) * inside[i]!) / sum(inside) + ((1 - percent / 100) * outside[i]!) / sum(outside),
    )
  }

  faults(
    places: readonly SketchPlace[],
    readings: readonly SketchReading[],
    setups: readonly string[],
  ): SketchFault[] {
    const draw = this.#draw
    const pick = this.#pick
    const some = this.#some
    const size = this.#size
    const spoken = size.exactly ? Math.min(40, 400 / size.readings) : 70
    return this.list(Math.max(this.upTo(1, size.faults), 1), "fault").map((name) => {
      const where = pick(places).name
      const others = setups.filter((setup) => setup !== where)
      return {
        name,
        in: where,
        odds: draw.int(1, 12),
        recurs: pick([1, 1, 1, 0.7, 0.3]),
        shows: Object.fromEntries(some(readings, spoken).map((each) => [each.name, this.#shown(each.cells)])),
        ...this.#maybe(25, "fix", () => this.#work()),
        ...this.#maybe(25, "eased", () =>
          Object.fromEntries(this.#few(others, 1).map((setup) => [setup, pick([1, 0.5])])),
        ),
      }
    })
  }

  condition(readings: readonly SketchReading[], depth: number): SketchCondition {
    const likely = this.#likely
    const pick = this.#pick
    const some = this.#some
    const reading = pick(readings)
    const cells = reading.cells.map((_: unknown, i: number) => i)
    if (depth === 0 || likely(50)) {
      return ["in", reading.name, likely(80) ? [pick(cells)] : some(cells, 50)]
    }
    const kind = pick(["and", "or", "not"] as const)
    const item = () => this.condition(readings, depth - 1)
    return kind === "not" ? ["not", item()] : [kind, item(), item()]
  }

  tests(
    parts: readonly string[],
    setups: readonly string[],
    readings: readonly SketchReading[],
  ): SketchTest[] {
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    const size = this.#size
    const read = readings.filter((each) => !each.told).map((each) => each.name)
    const tests: SketchTest[] = []
    for (const name of this.list(this.upTo(2, size.tests), "test")) {
      const kind = this.#kind(parts, setups, read)
      tests.push({
        name,
        ...kind,
        minutes: draw.int(size.exactly ? 1 : 0, kind.reads ? 6 : 20),
        costs: kind.reads ? 0 : pick([0, 0, 5, 12.5]),
        ...this.#maybe(20, "waits", () => pick([30, 240])),
        ...(likely(15) && tests.length > 0 ? { after: [pick(tests).name] } : {}),
        ...(likely(10) && tests.length > 0
          ? { afterAny: this.#some(tests, 70).map((each) => each.name) }
          : {}),
        ...(likely(15) && readings.length > 0 ? { onlyIf: this.condition(readings, 1) } : {}),
        ...(likely(15) && parts.length > 0 ? { risks: [[pick(parts), 0.02] as const] } : {}),
      })
    }
    return tests
  }

  #kind(
    parts: readonly string[],
    setups: readonly string[],
    read: readonly string[],
  ): Omit<SketchTest, "name"> {
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    const named = () => this.#few(setups, 2).map((setup) => (likely(30) ? ([setup, 0.5] as const) : setup))
    const pair = () => (likely(25) ? [...new Set([pick(parts), pick(parts)])] : [pick(parts)])
    const kind = pick([
      ...(read.length > 0 ? ["reads", "reads", "reads"] : []),
      ...(parts.length > 0 ? ["swaps", "swaps", "removes"] : []),
      ...(setups.length > 0 ? ["redoes", "redoes"] : []),
    ])
    if (kind === "reads") return { reads: [...new Set([pick(read), ...(likely(25) ? [pick(read)] : [])])] }
    const tries = this.#maybe(70, "tries", () => draw.int(1, 3))
    if (kind === "removes") return { removes: pair(), ...tries }
    if (kind === "swaps") return { swaps: pair(), ...(likely(30) ? { redoes: named() } : {}), ...tries }
    const first = likely(20) ? ([pick(setups), 0.6] as const) : pick(setups)
    const more = (likely(20) ? named() : []).filter(
      (each) => `${[each].flat()[0]}` !== `${[first].flat()[0]}`,
    )
    return { redoes: [first, ...more], ...tries }
  }

  /** What must be done or known before a repair, in a fifth of them. */
  gate(tests: readonly SketchTest[], readings: readonly SketchReading[]): { gate?: SketchGate } {
    return this.#maybe(20, "gate", () => ({
      ...this.#maybe(30, "after", () => [this.#pick(tests).name]),
      ...this.#maybe(20, "afterAny", () => this.#some(tests, 70).map((each) => each.name)),
      ...(readings.length > 0 ? this.#maybe(70, "onlyIf", () => this.condition(readings, 1)) : {}),
    }))
  }

  rule(faults: readonly string[], readings: readonly SketchReading[]): SketchRule {
    const likely = this.#likely
    const pick = this.#pick
    const when = this.condition(readings, 1)
    const named = [...new Set([pick(faults), ...(likely(30) ? [pick(faults)] : [])])]
    return {
      when,
      ...(likely(35) ? { only: named } : { out: named }),
      ...this.#maybe(35, "chance", () => pick([0.9, 0.6])),
    }
  }

  proof(places: readonly SketchPlace[], readings: readonly SketchReading[]): SketchProof {
    const draw = this.#draw
    const likely = this.#likely
    const pick = this.#pick
    const some = this.#some
    const taken = readings.filter((each) => !each.told)
    const expects = (): [string, number[]] => {
      const { name, cells } = pick(taken)
      return [name, some([...cells.keys()], 60)]
    }
    return {
      times: draw.int(1, 3),
      minutes: draw.int(0, 4),
      ...(taken.length > 0 && likely(30) ? { expects: expects() } : {}),
      ...this.#maybe(40, "for", () => this.#few(places, 2).map((each) => each.name)),
    }
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
