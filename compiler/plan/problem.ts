import type { Condition, Model } from "../model/model.ts"

/**
 * The planning problem in numbers: what the search touches millions of times, laid out flat.
 *
 * A hypothesis has one id: fault f uncured is f, fault f cured is `faults + f`. An action is a test or the putting back
 * of what a swap test fitted; put back of test t is action `tests + t`.
 */
export interface Problem {
  readonly model: Model
  readonly faults: number
  readonly tests: number
  /** By fault. */
  readonly place: Int32Array
  readonly odds: Float64Array
  /** By place: the faults in it. */
  readonly members: readonly (readonly number[])[]
  /** By place: 1 for a part. */
  readonly isPart: Uint8Array
  /** By place: money wasted when it is replaced in vain. */
  readonly price: Float64Array
  readonly work: readonly Work[]
  readonly trust: number
  readonly comeback: number
  readonly handover: number
  readonly rules: readonly Elimination[]
  readonly nevers: readonly Condition[]
  /** By reading: rules, nevers and tests (by `only if`) whose condition mentions it. */
  readonly mentions: readonly {
    readonly rules: readonly number[]
    readonly nevers: readonly number[]
    readonly tests: readonly number[]
  }[]
  readonly readings: number
}

/** A rule as the search asks for it. */
export interface Elimination {
  readonly condition: Condition
  readonly out: readonly number[]
  /** By fault: 1 where it is out. */
  readonly isOut: Uint8Array
  /** What is left, of a rule that leaves less than it rules out: the fewer are looked at the better. */
  readonly leaves: readonly number[] | undefined
}

/** What doing a test does to the weights. */
export type Work = Look | Change

/** `reads` and `told`: outcomes are combinations of cells. */
export interface Look {
  readonly kind: "look"
  readonly cost: number
  readonly minutes: number
  readonly reads: readonly number[]
  /** One row of cell indexes per outcome. */
  readonly outcomes: readonly (readonly number[])[]
  /** `[outcome × faults + f]`: chance of the outcome while f is active. */
  readonly active: Float64Array
  /** The same while f is cured or its part replaced. */
  readonly inactive: Float64Array
  /** Whether some rule or never speaks of a reading of it. */
  readonly asked: boolean
  /** By fault: number of its distribution; 0 is the healthy one. Equal numbers are never told apart by this test. */
  readonly kindOf: Int32Array
  /** Faults whose distribution is not the healthy one: most tests touch few. */
  readonly touches: readonly number[]
  /** By outcome: its chance on a healthy machine. */
  readonly healthy: Float64Array
}

/** `swaps` and `redoes`: outcomes are `gone` and `stays`. */
export interface Change {
  readonly kind: "change"
  readonly cost: number
  readonly minutes: number
  readonly part: number
  /** By place: chance that a fault in it is cured; 0 where it is not redone. */
  readonly cures: Float64Array
  /** Places that are redone or swapped. */
  readonly touches: readonly number[]
  readonly tries: number
  /** By fault: chance that the complaint is seen at least once in the tries while the fault is active. */
  readonly seen: Float64Array
  /** Faults with which the complaint may not be seen. */
  readonly unsure: readonly number[]
}

/** Outcomes beyond this many are refused: no technician and no graph is served by them. */
export const MOST_OUTCOMES = 4096

export function outcomesOf(model: Model, test: number): number {
  return model.tests[test]!.reads.reduce((n, r) => n * model.readings[r]!.cells.length, 1)
}

/** Flattens a model. Throws `RangeError` where a test has more than `MOST_OUTCOMES` outcomes (`compile` reports it before). */
export function makeProblem(model: Model): Problem {
  const faults = model.faults.length
  const members: number[][] = model.places.map(() => [])
  for (const [f, fault] of model.faults.entries()) members[fault.place]!.push(f)
  const mentions = model.readings.map(() => ({
    rules: [] as number[],
    nevers: [] as number[],
    tests: [] as number[],
  }))
  const note = (c: Condition, list: "rules" | "nevers" | "tests", index: number) => {
    for (const r of readingsIn(c)) mentions[r]![list].push(index)
  }
  for (const [i, rule] of model.rules.entries()) note(rule.condition, "rules", i)
  for (const [i, never] of model.nevers.entries()) note(never.condition, "nevers", i)
  for (const [i, test] of model.tests.entries()) if (test.onlyIf) note(test.onlyIf, "tests", i)
  const asked = (r: number) => mentions[r]!.rules.length + mentions[r]!.nevers.length > 0
  return {
    model,
    faults,
    tests: model.tests.length,
    place: Int32Array.from(model.faults, (f) => f.place),
    odds: Float64Array.from(model.faults, (f) => f.odds),
    members,
    isPart: Uint8Array.from(model.places, (p) => (p.kind === "part" ? 1 : 0)),
    price: Float64Array.from(model.places, (p) => (p.kind === "part" ? p.price : 0)),
    work: model.tests.map((t, i) =>
      t.kind === "swaps" || t.kind === "redoes" ? makeChange(model, i) : makeLook(model, i, asked),
    ),
    trust: model.ruleset.trust,
    comeback: model.ruleset.comeback,
    handover: model.ruleset.handover,
    rules: model.rules.map(({ condition, out }) => {
      const isOut = new Uint8Array(faults)
      for (const f of out) isOut[f] = 1
      const leaves = [...isOut.keys()].filter((f) => isOut[f] === 0)
      return { condition, out, isOut, leaves: leaves.length < out.length ? leaves : undefined }
    }),
    nevers: model.nevers.map((n) => n.condition),
    mentions,
    readings: model.readings.length,
  }
}

export function readingsIn(c: Condition, into = new Set<number>()): Set<number> {
  if (c.kind === "in") into.add(c.reading)
  else if (c.kind === "not") readingsIn(c.item, into)
  else for (const item of c.items) readingsIn(item, into)
  return into
}

function makeLook(model: Model, index: number, asked: (reading: number) => boolean): Look {
  const test = model.tests[index]!
  const faults = model.faults.length
  if (outcomesOf(model, index) > MOST_OUTCOMES) throw new RangeError(`too many outcomes of ${test.name}`)
  let outcomes: number[][] = [[]]
  for (const r of test.reads) {
    outcomes = outcomes.flatMap((row) => model.readings[r]!.cells.map((_, cell) => [...row, cell]))
  }
  const active = new Float64Array(outcomes.length * faults)
  const inactive = new Float64Array(outcomes.length * faults)
  outcomes.forEach((row, o) => {
    for (let f = 0; f < faults; f++) {
      let on = 1
      let off = 1
      test.reads.forEach((r, k) => {
        const reading = model.readings[r]!
        const healthy = reading.healthy[row[k]!]!
        const own = model.faults[f]!.chances[r]?.[row[k]!] ?? healthy
        on *= own
        off *= reading.told ? own : healthy
      })
      active[o * faults + f] = on
      inactive[o * faults + f] = off
    }
  })
  const kinds = new Map<string, number>([
    [test.reads.map((r) => model.readings[r]!.healthy.join()).join(";"), 0],
  ])
  const kindOf = Int32Array.from(model.faults, (fault) => {
    const key = test.reads.map((r) => (fault.chances[r] ?? model.readings[r]!.healthy).join()).join(";")
    if (!kinds.has(key)) kinds.set(key, kinds.size)
    return kinds.get(key)!
  })
  return {
    kind: "look",
    cost: test.cost,
    minutes: test.minutes,
    reads: test.reads,
    outcomes,
    active,
    inactive,
    kindOf,
    touches: [...kindOf.keys()].filter((f) => kindOf[f] !== 0),
    healthy: Float64Array.from(outcomes, (row) =>
      test.reads.reduce((chance, r, k) => chance * model.readings[r]!.healthy[row[k]!]!, 1),
    ),
    asked: test.reads.some(asked),
  }
}

function makeChange(model: Model, index: number): Change {
  const test = model.tests[index]!
  const cures = new Float64Array(model.places.length)
  for (const redo of test.redoes) cures[redo.setup] = redo.cures
  const redone = test.redoes.filter((redo) => redo.cures > 0).map((redo) => redo.setup)
  const seen = Float64Array.from(model.faults, (f) => 1 - (1 - f.recurs) ** test.tries)
  return {
    kind: "change",
    cost: test.cost,
    minutes: test.minutes,
    part: test.part ?? -1,
    cures,
    touches: test.part === undefined ? redone : [...redone, test.part],
    tries: test.tries,
    seen,
    unsure: [...seen.keys()].filter((f) => seen[f]! < 1),
  }
}
