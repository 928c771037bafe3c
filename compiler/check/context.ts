import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import type { Finding, Severity } from "../syntax/finding.ts"
import { type Doable, doable } from "./doable.ts"
import { byFault, type Elimination, eliminationsOf } from "./eliminations.ts"
import { type Formula, normal, readingsOf, spelled } from "./logic/formula.ts"
import { Space } from "./logic/space.ts"
import { Memory } from "./memory.ts"

/** One code of the analysis: all that there is to say about it. */
export interface Check {
  readonly code: string
  readonly severity: Severity
  /** What it proves, in one line. */
  readonly summary: string
  /** What it means at the bench, and what to do; Markdown. */
  readonly explain: string
  /** Declarations that trip it when they follow those of `examples.ts`, and the same mended. Both run as tests. */
  readonly example: string
  readonly mended: string
  /** Other codes that the example cannot help tripping. */
  readonly alongside?: readonly string[]
  /** Speaks of the best plan, so it is silent without one. */
  readonly ofPlan?: boolean
  run(context: Context): Iterable<Finding>
}

export interface CheckOptions {
  /** At most so many findings of one code; what is beyond is said in the last one. Default 50. */
  readonly limit?: number
  /** Conflicts that the search for a smaller witness may meet; the verdict itself has no budget. Default 20,000. */
  readonly effort?: number
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
  readonly eliminations: readonly Elimination[]
  /** By fault: the eliminations that rule it out. */
  readonly against: readonly (readonly number[])[]
  /** False where the `never`s forbid everything: then nothing that speaks of findings can be asked. */
  readonly possible: boolean
  private readonly spellings = new Map<Formula, string>()
  private unreachableRules: readonly boolean[] | undefined
  private doableTests: Doable | undefined
  /** Conditions met so far, in normal form, so that one condition becomes one node of the solver. */
  private readonly formulas = new Map<object, Formula>()

  constructor(model: Model, plan?: Plan, options: CheckOptions = {}) {
    this.model = model
    this.plan = plan
    this.memory = options.memory ?? new Memory()
    this.effort = options.effort ?? 20_000
    this.limit = options.limit ?? 50
    this.space = new Space(model)
    this.eliminations = eliminationsOf(model)
    this.against = byFault(model, this.eliminations)
    this.possible = this.space.possible
  }

  formula(condition: Parameters<typeof normal>[0]): Formula {
    let formula = this.formulas.get(condition)
    if (formula === undefined) {
      formula = normal(condition)
      this.formulas.set(condition, formula)
    }
    return formula
  }

  /** A short number for the content of a formula, the same for equal contents. */
  content(formula: Formula): string {
    const known = this.spellings.get(formula)
    if (known !== undefined) return known
    const text = spelled(formula, (reading) => this.model.readings[reading]!.name)
    this.spellings.set(formula, text)
    return text
  }

  /** The content of all `never`s that bear on these readings, for keys of proofs. */
  bound(readings: readonly number[]): string {
    const linked = new Set(this.space.closure(readings))
    const bearing = this.space.nevers.filter((never) =>
      readingsOf(never).some((reading) => linked.has(reading)),
    )
    return bearing.map((never) => this.content(never)).join(";")
  }

  /** By rule: its condition can never be known true. */
  get unreachable(): readonly boolean[] {
    this.unreachableRules ??= this.model.rules.map((_, index) => {
      if (!this.possible) return false
      const { formula } = this.eliminations[index]!
      const readings = readingsOf(formula)
      return this.memory.proof(`reach ${this.content(formula)} ${this.bound(readings)}`, () => {
        return this.space.ask([this.space.holds(formula)], readings) === "no"
      })
    })
    return this.unreachableRules
  }

  get doable(): Doable {
    this.doableTests ??= doable(this)
    return this.doableTests
  }
}
