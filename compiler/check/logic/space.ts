import type { Condition, Model } from "../../model/model.ts"
import type { CellIndex, ReadingIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { type Budget, BudgetSpent } from "./budget.ts"
import { Domain } from "./domain.ts"
import { type Findings, type Formula, normal, readingsOf } from "./formula.ts"
import { type Answer, Solver } from "./solver.ts"
import type { Literals } from "./trail.ts"

/** Value 1 of a two-valued variable, as a mask. */
const TRUE = 2
const FALSE = 1

/**
 * The findings that can occur, as a question-answering machine. Each reading has one of its cells on the machine
 * (*actual*), and that cell or "not read" in the findings (*seen*); no `never` is true of the actual cells. So partial
 * findings can occur exactly when they can be completed without breaking a `never`.
 *
 * All questions of a check share one solver: a formula becomes, once, a node that implies it, a question assumes some
 * nodes, and what was learnt from the `never`s serves all later questions. Only the readings that a question can touch
 * are decided, closed over the `never`s that link them; the rest can follow on its own as long as the `never`s as such
 * can be met, which `possible` says.
 *
 * With a budget, a question that is given none of its own and runs out throws `BudgetSpent`: it has no answer.
 */
export class FindingSpace {
  readonly solver = new Solver()
  /** The `never`s that bind, in negation normal form. */
  readonly nevers: readonly Formula[]
  readonly #budget: Budget | undefined
  readonly #sizes: Table<ReadingIndex, number>
  readonly #seenDomains: Table<ReadingIndex, Domain | undefined> & (Domain | undefined)[]
  readonly #actualDomains: Table<ReadingIndex, Domain<CellIndex> | undefined> &
    (Domain<CellIndex> | undefined)[]
  readonly #nodes = new Map<Formula, number[]>()
  /** By reading: the readings linked to it by `never`s, itself included; absent if there are none. */
  readonly #linked: Table<ReadingIndex, readonly ReadingIndex[] | undefined>

  constructor(
    model: Model,
    nevers: readonly { readonly condition: Condition }[] = model.nevers,
    budget?: Budget,
  ) {
    this.#budget = budget
    this.#sizes = model.readings.map((reading) => reading.cells.length)
    this.#seenDomains = model.readings.map(() => undefined)
    this.#actualDomains = model.readings.map(() => undefined)
    this.nevers = nevers.map((never) => normal(never.condition))
    this.#linked = linkage(this.nevers, this.#sizes)
    for (const never of this.nevers) this.#require([], never, false, false)
  }

  /** Is there a machine at all that no `never` forbids? */
  get possible(): boolean {
    const bound = this.#linked.flatMap((group, reading) => (group === undefined ? [] : [reading]))
    return this.askActual([], bound) !== "no"
  }

  /** No `never` speaks of the reading, so each of its cells can occur, whatever else is found. */
  isFree(reading: ReadingIndex): boolean {
    return this.#linked[reading] === undefined
  }

  /** The readings that a question on `readings` has to settle. */
  closure(readings: readonly ReadingIndex[]): ReadingIndex[] {
    const found = new Set(readings)
    for (const reading of readings) for (const other of this.#linked[reading] ?? []) found.add(other)
    return [...found]
  }

  /** A node that makes the formula known true on the findings. */
  holds(formula: Formula): number {
    return this.#node(formula, true, true)
  }

  /** A node that keeps the formula from being known true on the findings. */
  fails(formula: Formula): number {
    return this.#node(formula, false, true)
  }

  /** A node that makes the formula false of the machine itself, all readings having a cell. */
  failsActually(formula: Formula): number {
    return this.#node(formula, false, false)
  }

  holdsActually(formula: Formula): number {
    return this.#node(formula, true, false)
  }

  /** A new variable with `size` values, however many; it has to be decided beside the readings. */
  domain<V extends number>(size: number): Domain<V> {
    return new Domain<V>(this.solver, size)
  }

  /** A node that implies all clauses; each is a list of literals. */
  implying(clauses: readonly Literals[]): number {
    const guard = this.solver.variable(2)
    for (const literals of clauses) this.solver.add([guard, FALSE, ...literals])
    return guard
  }

  /** The literal that a node holds. */
  literal(node: number): Literals {
    return [node, TRUE]
  }

  /** A node that implies all (or at least one) of the nodes given. */
  every(nodes: readonly number[]): number {
    const guard = this.solver.variable(2)
    for (const node of nodes) this.solver.add([guard, FALSE, node, TRUE])
    return guard
  }

  some(nodes: readonly number[]): number {
    const guard = this.solver.variable(2)
    this.solver.add([guard, FALSE, ...nodes.flatMap((node) => [node, TRUE])])
    return guard
  }

  /** For counting how many of the nodes hold, up to `most`: gives the node that lets no more than `limit` of them. */
  counter(nodes: readonly number[], most: number): (limit: number) => number {
    return this.#counted(
      nodes.map((node) => [node, FALSE]),
      most,
    )
  }

  /** The same for how many of the readings are read. */
  readCounter(readings: readonly ReadingIndex[], most: number): (limit: number) => number {
    return this.#counted(
      readings.map((reading) => this.#unread(reading)),
      most,
    )
  }

  /**
   * Can findings on `readings` occur under which all nodes hold? `first`: nodes and other variables to decide before the
   * readings, nodes true rather than false.
   */
  ask(
    nodes: readonly number[],
    readings: readonly ReadingIndex[],
    budget?: number,
    first: readonly number[] = [],
  ): Answer {
    const decide = [...first]
    for (const reading of readings) decide.push(...this.#seen(reading).variables)
    for (const reading of this.closure(readings)) {
      if (this.#linked[reading] !== undefined) decide.push(...this.#actual(reading).variables)
    }
    return this.#solve(assume(nodes), decide, budget)
  }

  /** Can these findings occur, all of them on `readings`? */
  occurs(findings: Findings, readings: readonly ReadingIndex[]): boolean {
    const bound = readings.filter((i) => at(findings, i) >= 0 && this.#linked[i] !== undefined)
    if (bound.length === 0) return true
    const as = bound.flatMap((i) => this.#actual(i).literals((cell) => cell === findings[i]))
    return this.#solve(as, this.#machineOn(bound)) === "yes"
  }

  /** Can a machine be so that all nodes hold? For nodes of `…Actually`. `first`: variables to decide before the readings. */
  askActual(
    nodes: readonly number[],
    readings: readonly ReadingIndex[],
    budget?: number,
    first: readonly number[] = [],
  ): Answer {
    return this.#solve(assume(nodes), [...first, ...this.#machineOn(readings)], budget)
  }

  /** The same of a machine on which as many of the `wished` nodes hold as can, the first ones rather than the last. */
  askMost(
    nodes: readonly number[],
    wished: readonly number[],
    readings: readonly ReadingIndex[],
    budget?: number,
  ): Answer {
    for (const node of wished) this.solver.prefer(node, TRUE)
    return this.#solve(assume(nodes), [...wished, ...this.#machineOn(readings)], budget)
  }

  #solve(assumptions: Literals, decide: readonly number[], budget?: number): Answer {
    const { solver } = this
    if (budget !== undefined || this.#budget === undefined) return solver.solve(assumptions, decide, budget)
    const before = solver.conflicts
    const answer = solver.solve(assumptions, decide, this.#budget.next)
    this.#budget.spend(solver.conflicts - before)
    if (answer === "unknown") throw new BudgetSpent()
    return answer
  }

  /** The variables to decide so that a machine is settled on `readings`. */
  #machineOn(readings: readonly ReadingIndex[]): number[] {
    const variables: number[] = []
    for (const reading of this.closure(readings)) variables.push(...this.#actual(reading).variables)
    return variables
  }

  /** The findings that `ask` found; -1 outside of `readings` and where nothing was read. */
  findings(readings: readonly ReadingIndex[]): Findings {
    const found = this.#sizes.map((): CellIndex | -1 => -1)
    for (const reading of readings) {
      const value = this.#seen(reading).value()
      if (value < at(this.#sizes, reading)) found[reading] = value as CellIndex
    }
    return found
  }

  /** The machine that `askActual` found, for the readings that it settled; -1 for the others. */
  machine(readings: readonly ReadingIndex[]): Findings {
    const found = this.#sizes.map((): CellIndex | -1 => -1)
    for (const reading of this.closure(readings)) found[reading] = this.#actual(reading).value()
    return found
  }

  /**
   * The sequential counter of C. Sinz, "Towards an optimal CNF encoding of Boolean cardinality constraints" (2005); how
   * many there are up to an item is one variable here. `absent`: by item, the literal that it is not there.
   */
  #counted(absent: readonly Literals[], most: number): (limit: number) => number {
    let before: Domain | undefined
    for (const none of absent) {
      const sum = new Domain(this.solver, most + 1)
      const atLeast = (least: number) => sum.literals((value) => value >= least)
      for (let k = 0; k <= (before === undefined ? 0 : most); k++) {
        const fewer = before?.literals((value) => value < k) ?? []
        if (k > 0) this.solver.add([...fewer, ...atLeast(k)])
        if (k < most) this.solver.add([...none, ...fewer, ...atLeast(k + 1)])
      }
      before = sum
    }
    return (limit) => {
      const guard = this.solver.variable(2)
      if (before !== undefined) this.solver.add([guard, FALSE, ...before.literals((value) => value <= limit)])
      return guard
    }
  }

  #node(formula: Formula, positive: boolean, seen: boolean): number {
    const which = (positive ? 0 : 1) + (seen ? 0 : 2)
    const nodes = this.#nodes.get(formula) ?? []
    this.#nodes.set(formula, nodes)
    const known = nodes[which]
    if (known !== undefined) return known
    const guard = this.solver.variable(2)
    this.solver.prefer(guard, TRUE)
    nodes[which] = guard
    this.#require([guard, FALSE], formula, positive, seen)
    return guard
  }

  /** Adds clauses: whenever no literal of `unless` holds, the formula is true (or fails). */
  #require(unless: readonly number[], formula: Formula, positive: boolean, seen: boolean): void {
    if (formula.kind === "in") {
      this.solver.add([...unless, ...this.#atom(formula, positive, seen)])
    } else if ((formula.kind === "and") === positive) {
      for (const item of formula.items) this.#require(unless, item, positive, seen)
    } else {
      const literals = [...unless]
      for (const item of formula.items) {
        if (item.kind === "in") literals.push(...this.#atom(item, positive, seen))
        else literals.push(this.#node(item, positive, seen), TRUE)
      }
      this.solver.add(literals)
    }
  }

  #atom(formula: Extract<Formula, { kind: "in" }>, positive: boolean, seen: boolean): number[] {
    const { reading, cells } = formula
    const domain = seen ? this.#seen(reading) : this.#actual(reading)
    // "Not read" is beyond the cells: it never makes an atom true, and always keeps it from being known true.
    return domain.literals((value) => (cells[value] === true) === positive)
  }

  #unread(reading: ReadingIndex): number[] {
    const size = at(this.#sizes, reading)
    return this.#seen(reading).literals((value) => value === size)
  }

  #seen(reading: ReadingIndex): Domain {
    const known = this.#seenDomains[reading]
    if (known !== undefined) return known
    const size = at(this.#sizes, reading)
    const domain = new Domain(this.solver, size + 1)
    this.#seenDomains[reading] = domain
    if (this.#linked[reading] !== undefined) {
      const actual = this.#actual(reading)
      for (let cell = 0; cell < size; cell++) {
        this.solver.add([
          ...domain.literals((value) => value !== cell),
          ...actual.literals((value) => value === cell),
        ])
      }
    }
    return domain
  }

  #actual(reading: ReadingIndex): Domain<CellIndex> {
    const known = this.#actualDomains[reading]
    if (known !== undefined) return known
    const domain = new Domain<CellIndex>(this.solver, at(this.#sizes, reading))
    this.#actualDomains[reading] = domain
    return domain
  }
}

function assume(nodes: readonly number[]): number[] {
  const literals: number[] = []
  for (const node of nodes) literals.push(node, TRUE)
  return literals
}

/** Readings are linked when one `never` speaks of both, or a chain of them does. */
function linkage(
  nevers: readonly Formula[],
  sizes: Table<ReadingIndex, number>,
): Table<ReadingIndex, readonly ReadingIndex[] | undefined> {
  const groups = sizes.map((): ReadingIndex[] | undefined => undefined)
  for (const never of nevers) {
    const joined = new Set<ReadingIndex>()
    for (const reading of readingsOf(never)) {
      for (const member of groups[reading] ?? [reading]) joined.add(member)
    }
    const group = [...joined].sort((a, b) => a - b)
    for (const member of group) groups[member] = group
  }
  return groups
}
