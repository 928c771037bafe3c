import type { Span } from "../diagnostics/diagnostic.ts"
import type { Condition, Model } from "../model/model.ts"
import { gatesOf } from "../model/repairs.ts"
import type { Plan } from "../plan/plan.ts"
import type { FaultIndex, ReadingIndex, RuleIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { ContentKeys } from "./content-keys.ts"
import { byFault, type Elimination, type EliminationIndex, eliminationsOf } from "./eliminations.ts"
import { Budget, BudgetSpent } from "./logic/budget.ts"
import { type Formula, needed, normal, readingsOf } from "./logic/formula.ts"
import { FindingSpace } from "./logic/space.ts"
import { ruleName } from "./message-parts.ts"
import { ProofCache, valueOrSpent } from "./proof-cache.ts"
import { type StateKinds, stateKinds } from "./state-kinds.ts"

export interface CheckOptions {
  /** At most so many diagnostics of one code; the last one says that there are more. Default 50. */
  readonly limit?: number
  /** Conflicts that the search for a smaller witness may meet; the verdict has a budget of its own. Default 20,000. */
  readonly effort?: number
  /** Look for gaps between rules although faults have `shows`. */
  readonly gaps?: boolean
  /** Plan anew without each test that many jobs need, each plan looking into at most so many states. Default 0: don't. */
  readonly cannot?: number
  /** Conflicts that one question may meet, and all together. */
  readonly budget?: Budget
  /** As many findings as are tried one by one before the solver is asked. Default 1,000. */
  readonly exhaustive?: number
  /** Proofs of the run before. */
  readonly proofs?: ProofCache
}

/** A question that was not answered within the budget, by the code that asked it first. */
export interface Unproved {
  readonly code: string
  readonly span: Span
  /** What may or may not be so, after "whether". */
  readonly what: string
}

/** What the checks of one run share. */
export class Context {
  readonly model: Model
  readonly plan: Plan | undefined
  readonly space: FindingSpace
  readonly proofs: ProofCache
  readonly effort: number
  readonly limit: number
  readonly exhaustive: number
  readonly gaps: boolean
  readonly cannot: number
  /** For the keys of proofs. */
  readonly keys: ContentKeys
  readonly eliminations: Table<EliminationIndex, Elimination>
  /** By fault: the eliminations that surely rule it out where it is alone. */
  readonly against: Table<FaultIndex, readonly EliminationIndex[]>
  readonly kinds: StateKinds
  /** False if the `never`s forbid everything: then nothing that speaks of findings can be asked. */
  readonly possible: boolean
  /** Results that several codes need, by the function that computes them. */
  readonly #results = new Map<(context: Context) => unknown, unknown>()
  /** Questions that ran out of the budget so far, each once. */
  readonly unproved: Unproved[] = []
  /** Conditions met so far, in normal form, so that one condition becomes one node of the solver. */
  readonly #formulas = new Map<Condition, Formula>()

  constructor(model: Model, plan?: Plan, options: CheckOptions = {}) {
    this.model = model
    this.plan = plan
    this.proofs = options.proofs ?? new ProofCache()
    this.effort = options.effort ?? 20_000
    this.limit = options.limit ?? 50
    this.exhaustive = options.exhaustive ?? 1000
    this.gaps = options.gaps ?? false
    this.cannot = options.cannot ?? 0
    this.space = new FindingSpace(model, model.nevers, options.budget ?? new Budget())
    this.eliminations = eliminationsOf(model)
    this.against = byFault(model, this.eliminations)
    this.kinds = stateKinds(model)
    this.possible = this.attempt(
      { code: "certain-never", span: model.ruleset.span, what: "the `never`s leave any findings at all" },
      true,
      () => this.space.possible,
    )
    this.keys = new ContentKeys(model, this.space, this.proofs)
  }

  /** The result of `compute` for this run, computed the first time somebody asks. */
  once<T>(compute: (context: Context) => T): T {
    if (!this.#results.has(compute))
      this.#results.set(
        compute,
        valueOrSpent(() => compute(this)),
      )
    const result = this.#results.get(compute) as T | BudgetSpent
    if (result instanceof BudgetSpent) throw result
    return result
  }

  /** The answer; or `otherwise`, where the budget is spent before: then it is noted that this was not proved. */
  attempt<T>(subject: Unproved, otherwise: T, answer: () => T): T {
    const found = valueOrSpent(answer)
    if (!(found instanceof BudgetSpent)) return found
    const { code, what } = subject
    if (!this.unproved.some((each) => each.code === code && each.what === what)) this.unproved.push(subject)
    return otherwise
  }

  formula(condition: Condition): Formula {
    let formula = this.#formulas.get(condition)
    if (formula === undefined) {
      formula = normal(condition)
      this.#formulas.set(condition, formula)
    }
    return formula
  }

  /** By rule: its condition can never be known true. */
  get unreachable(): Table<RuleIndex, boolean> {
    return this.once(unreachableRules)
  }

  /** Does the elimination act on the fault where it is alone? */
  takes(elimination: EliminationIndex, fault: FaultIndex): boolean {
    return this.once(takenFaults)(elimination, fault)
  }

  /**
   * By reading: the eliminations to look at when it is read. One that needs some readings is under the first of these
   * only, any other under all of its readings.
   */
  get eliminationsOn(): Table<ReadingIndex, readonly EliminationIndex[]> {
    return this.once(eliminationsByReading)
  }

  /** By reading: the rules that speak of it, those that take the fewest faults first. */
  get rulesOn(): Table<ReadingIndex, readonly RuleIndex[]> {
    return this.once(rulesByReading)
  }
}

function unreachableRules(context: Context): Table<RuleIndex, boolean> {
  const { model, possible, eliminations, proofs, keys, space } = context
  return model.rules.map((rule, index) => {
    if (!possible) return false
    const { formula } = at(eliminations, index)
    const known = canHoldFreely(formula, space)
    if (known !== undefined) return !known
    const subject = {
      code: "unreachable-rule",
      span: rule.span,
      what: `${ruleName(rule)} can ever act`,
    }
    return context.attempt(subject, false, () =>
      proofs.prove(
        `reach ${keys.of(formula)}`,
        () => space.ask([space.holds(formula)], readingsOf(formula)) === "no",
      ),
    )
  })
}

/** Whether the formula can be known true, where its parts alone tell: on readings that no `never` binds, each in one part. */
function canHoldFreely(formula: Formula, space: FindingSpace): boolean | undefined {
  if (formula.kind === "in") return space.isFree(formula.reading) ? formula.cells.includes(true) : undefined
  const parts = formula.items.map((item) => canHoldFreely(item, space))
  const settles = formula.kind === "or"
  if (parts.includes(settles)) return settles
  if (parts.includes(undefined)) return undefined
  const readings = formula.items.flatMap((item) => readingsOf(item))
  return settles || new Set(readings).size === readings.length ? !settles : undefined
}

/** Readings in rules, in `shows` and in `only if`; a `never` only says what cannot be. */
export function usedReadings(context: Context): ReadonlySet<ReadingIndex> {
  const { rules, faults } = context.model
  const conditions = gatesOf(context.model).flatMap(({ onlyIf }) =>
    onlyIf === undefined ? [] : [context.formula(onlyIf)],
  )
  for (const index of rules.keys()) conditions.push(at(context.eliminations, index).formula)
  const used = new Set(readingsOf(...conditions))
  for (const fault of faults) for (const clause of fault.shows) used.add(clause.reading)
  return used
}

/** A bit for each pair of elimination and fault. */
function takenFaults({
  model,
  eliminations,
}: Context): (elimination: EliminationIndex, fault: FaultIndex) => boolean {
  const words = (model.faults.length + 31) >> 5
  const bits = new Uint32Array(eliminations.length * words)
  for (const [index, { out }] of eliminations.entries())
    for (const each of out) {
      const word = index * words + (each >> 5)
      bits[word] = at(bits, word) | (1 << (each & 31))
    }
  return (elimination, fault) => (((bits[elimination * words + (fault >> 5)] ?? 0) >> (fault & 31)) & 1) === 1
}

function eliminationsByReading({ model, eliminations }: Context) {
  const lists = model.readings.map((): EliminationIndex[] => [])
  for (const [index, { formula }] of eliminations.entries()) {
    const [first] = needed(formula)
    for (const reading of first === undefined ? readingsOf(formula) : [first]) at(lists, reading).push(index)
  }
  return lists
}

function rulesByReading({ model, eliminations }: Context) {
  const lists = model.readings.map((): RuleIndex[] => [])
  const size = (rule: RuleIndex) => at(eliminations, rule).out.length
  const order = [...model.rules.keys()].sort((a, b) => size(a) - size(b))
  for (const rule of order)
    for (const reading of readingsOf(at(eliminations, rule).formula)) at(lists, reading).push(rule)
  return lists
}
