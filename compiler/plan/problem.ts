import type { Condition, Model } from "../model/model.ts"
import { type FaultStates, likeliestStates, makeFaultStates } from "./fault-states.ts"
import { makeSteps, type Step } from "./steps.ts"

/**
 * The planning problem in numbers: what the search touches millions of times, laid out flat. Faults, readings, tests
 * and places have the model's indexes; a step is an index of `steps`.
 */
export interface Problem {
  readonly model: Model
  readonly states: FaultStates
  readonly steps: readonly Step[]
  /** By fault: its place. */
  readonly place: Int32Array
  /** By fault: chance that one try doesn't show the complaint while the fault is active. */
  readonly quiet: Float64Array
  /** By reading, by fault: 1 where the fault speaks of the reading. */
  readonly speaks: readonly Uint8Array[]
  readonly rules: readonly Elimination[]
  readonly nevers: readonly Condition[]
  readonly trust: number
  readonly comeback: number
  readonly handover: number
  /** Of one try of the complaint. */
  readonly tryMinutes: number
  readonly tryCost: number
}

/** A rule as the search asks for it. */
export interface Elimination {
  readonly condition: Condition
  readonly leavesOnly: boolean
  /** By fault: 1 where the rule names it. */
  readonly names: Uint8Array
  /** What it takes of a hypothesis on which it acts. */
  readonly chance: number
  /** Whether it names only told questions, to which every fault of the state is active. */
  readonly toldOnly: boolean
}

/** Outcomes beyond this many are refused: no technician and no graph is served by them. */
export const MOST_OUTCOMES = 4096

/** States of the machine that a plan is made for; the rarest pairs beyond are left out. A hundred faults have fewer. */
const MOST_STATES = 6000

export function outcomesOf(model: Model, test: number): number {
  return model.tests[test]!.reads.reduce((n, r) => n * model.readings[r]!.cells.length, 1)
}

/** Flattens a model. Throws `RangeError` where a test has more than `MOST_OUTCOMES` outcomes (`compile` reports it before). */
export function makeProblem(model: Model): Problem {
  const wide = model.tests.findIndex((_, test) => outcomesOf(model, test) > MOST_OUTCOMES)
  if (wide >= 0) throw new RangeError(`too many outcomes of ${model.tests[wide]!.name}`)
  const { bench, trust, comeback, handover } = model.ruleset
  return {
    model,
    states: likeliestStates(makeFaultStates(model), MOST_STATES),
    steps: makeSteps(model),
    place: Int32Array.from(model.faults, (fault) => fault.place),
    quiet: Float64Array.from(model.faults, (fault) => 1 - fault.recurs),
    speaks: model.readings.map((_, r) =>
      Uint8Array.from(model.faults, (fault) => (fault.chances[r] === undefined ? 0 : 1)),
    ),
    rules: model.rules
      .filter(({ chance }) => chance > 0)
      .map(({ condition, verb, of, chance }) => ({
        condition,
        leavesOnly: verb === "leaves only",
        names: Uint8Array.from(model.faults.map((_, f) => (of.includes(f) ? 1 : 0))),
        chance,
        toldOnly: [...readingsIn(condition)].every((r) => model.readings[r]!.told),
      })),
    nevers: model.nevers.map((never) => never.condition),
    trust,
    comeback,
    handover,
    tryMinutes: model.complaint.minutes,
    tryCost: (model.complaint.minutes * bench) / 60,
  }
}

/** What a step waits for: tests that must be done before one, and readings that must be known. */
export function awaitedIn({ steps }: Pick<Problem, "steps">): {
  readonly tests: ReadonlySet<number>
  readonly readings: ReadonlySet<number>
} {
  const tests = new Set<number>()
  const readings = new Set<number>()
  for (const { gate } of steps) {
    for (const test of [...(gate?.after ?? []), ...(gate?.afterAny ?? [])]) tests.add(test)
    if (gate?.onlyIf) readingsIn(gate.onlyIf, readings)
  }
  return { tests, readings }
}

export function readingsIn(c: Condition, into = new Set<number>()): Set<number> {
  if (c.kind === "in") into.add(c.reading)
  else if (c.kind === "not") readingsIn(c.item, into)
  else for (const item of c.items) readingsIn(item, into)
  return into
}
