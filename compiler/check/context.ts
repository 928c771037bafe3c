import type { Diagnostic, Severity } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import { Contents } from "./content-keys.ts"
import { byFault, type Elimination, eliminationsOf } from "./eliminations.ts"
import { type Formula, needed, normal, readingsOf } from "./logic/formula.ts"
import { Space } from "./logic/space.ts"
import { Memory } from "./proof-cache.ts"
import { type DeadFault, deadFaults } from "./proofs/dead-faults.ts"
import { type Doable, doable } from "./proofs/doable-tests.ts"
import { type IdleRule, idleRules } from "./proofs/idle-rules.ts"
import { type OpposedPair, opposedPairs } from "./proofs/opposed-rules.ts"

/** What the reference says of a code. */
export interface CodeText {
  readonly code: string
  readonly severity: Severity
  /** What it proves or when it is said, in one line. */
  readonly summary: string
  /** What it means at the bench, and what to do; Markdown. */
  readonly explain: string
  /** What trips it on the ruleset of `examples.ts`, and the same mended. Both run as tests. */
  readonly example: string
  readonly mended: string
}

/** One code of the analysis; its examples are declarations that follow those of `examples.ts`. */
export interface Check extends CodeText {
  /** Other codes that the example cannot help tripping. */
  readonly alongside?: readonly string[]
  /** Speaks of the best plan, so it is silent without one. */
  readonly ofPlan?: boolean
  run(context: Context): Iterable<Diagnostic>
}

export interface CheckOptions {
  /** At most so many findings of one code; the last one says where there are more. Default 50. */
  readonly limit?: number
  /** Conflicts that the search for a smaller witness may meet; the verdict itself has no budget. Default 20,000. */
  readonly effort?: number
  /** As many findings as are tried out one by one before the solver is asked. Default 1,000. */
  readonly few?: number
  /** Proofs of the run before. */
  readonly memory?: Memory
}

/** What the checks of one run share. */
export class Context {
  readonly model: Model
  readonly plan: Plan | undefined
  readonly space: Space
  readonly memory: Memory
  readonly effort: number
  readonly limit: number
  readonly few: number
  /** For the keys of proofs. */
  readonly contents: Contents
  readonly eliminations: readonly Elimination[]
  /** By fault: the eliminations that rule it out. */
  readonly against: readonly (readonly number[])[]
  /** False where the `never`s forbid everything: then nothing that speaks of findings can be asked. */
  readonly possible: boolean
  private unreachableRules: readonly boolean[] | undefined
  private usedReadings: ReadonlySet<number> | undefined
  /** By elimination, a bit for each fault that it takes. */
  private taken: Uint32Array | undefined
  private eliminationsByReading: readonly (readonly number[])[] | undefined
  private rulesByReading: readonly (readonly number[])[] | undefined
  private doableTests: Doable | undefined
  private idleOnes: ReadonlySet<number> | undefined
  private idleFound: readonly IdleRule[] | undefined
  private deadFound: readonly DeadFault[] | undefined
  private opposedFound: readonly OpposedPair[] | undefined
  /** Conditions met so far, in normal form, so that one condition becomes one node of the solver. */
  private readonly formulas = new Map<object, Formula>()

  constructor(model: Model, plan?: Plan, options: CheckOptions = {}) {
    this.model = model
    this.plan = plan
    this.memory = options.memory ?? new Memory()
    this.effort = options.effort ?? 20_000
    this.limit = options.limit ?? 50
    this.few = options.few ?? 1000
    this.space = new Space(model)
    this.eliminations = eliminationsOf(model)
    this.against = byFault(model, this.eliminations)
    this.possible = this.space.possible
    this.contents = new Contents(model, this.space, this.memory)
  }

  formula(condition: Parameters<typeof normal>[0]): Formula {
    let formula = this.formulas.get(condition)
    if (formula === undefined) {
      formula = normal(condition)
      this.formulas.set(condition, formula)
    }
    return formula
  }

  /** By rule: its condition can never be known true. */
  get unreachable(): readonly boolean[] {
    this.unreachableRules ??= this.model.rules.map((_, index) => {
      if (!this.possible) return false
      const { formula } = this.eliminations[index]!
      const readings = readingsOf(formula)
      return this.memory.proof(`reach ${this.contents.of(formula)}`, () => {
        return this.space.ask([this.space.holds(formula)], readings) === "no"
      })
    })
    return this.unreachableRules
  }

  /** Readings in rules, in `shows` and in `only if`; a `never` only says what cannot be. */
  get used(): ReadonlySet<number> {
    if (this.usedReadings === undefined) {
      const { rules, tests, faults } = this.model
      const conditions = tests.flatMap(({ onlyIf }) => (onlyIf === undefined ? [] : [this.formula(onlyIf)]))
      for (const index of rules.keys()) conditions.push(this.eliminations[index]!.formula)
      const used = new Set(readingsOf(...conditions))
      for (const fault of faults) for (const clause of fault.shows) used.add(clause.reading)
      this.usedReadings = used
    }
    return this.usedReadings
  }

  /** Does the elimination rule out the fault? */
  takes(elimination: number, fault: number): boolean {
    const words = (this.model.faults.length + 31) >> 5
    if (this.taken === undefined) {
      this.taken = new Uint32Array(this.eliminations.length * words)
      for (const [index, { out }] of this.eliminations.entries())
        for (const each of out) this.taken[index * words + (each >> 5)]! |= 1 << (each & 31)
    }
    return ((this.taken[elimination * words + (fault >> 5)]! >> (fault & 31)) & 1) === 1
  }

  /**
   * By reading: the eliminations to look at when it is read. One that needs some readings is under the first of these
   * only, any other under all of its readings.
   */
  get eliminationsOn(): readonly (readonly number[])[] {
    if (this.eliminationsByReading === undefined) {
      const lists: number[][] = this.model.readings.map(() => [])
      for (const [index, { formula }] of this.eliminations.entries()) {
        const [first] = needed(formula)
        for (const reading of first === undefined ? readingsOf(formula) : [first]) lists[reading]!.push(index)
      }
      this.eliminationsByReading = lists
    }
    return this.eliminationsByReading
  }

  /** By reading: the rules that speak of it, those that take the fewest faults first. */
  get rulesOn(): readonly (readonly number[])[] {
    if (this.rulesByReading === undefined) {
      const lists: number[][] = this.model.readings.map(() => [])
      const { rules } = this.model
      const order = [...rules.keys()].sort((a, b) => rules[a]!.out.length - rules[b]!.out.length)
      for (const rule of order)
        for (const reading of readingsOf(this.eliminations[rule]!.formula)) lists[reading]!.push(rule)
      this.rulesByReading = lists
    }
    return this.rulesByReading
  }

  /** Rules that never rule out anything by themselves. */
  get idle(): ReadonlySet<number> {
    this.idleOnes ??= new Set(this.idleRules.map((each) => each.rule))
    return this.idleOnes
  }

  get idleRules(): readonly IdleRule[] {
    this.idleFound ??= idleRules(this)
    return this.idleFound
  }

  get deadFaults(): readonly DeadFault[] {
    this.deadFound ??= deadFaults(this)
    return this.deadFound
  }

  get opposedPairs(): readonly OpposedPair[] {
    this.opposedFound ??= opposedPairs(this)
    return this.opposedFound
  }

  get doable(): Doable {
    this.doableTests ??= doable(this)
    return this.doableTests
  }
}
