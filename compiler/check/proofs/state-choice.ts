import type { CellSet } from "../../model/model.ts"
import type { FaultIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import type { EliminationIndex } from "../eliminations.ts"
import type { Domain } from "../logic/domain.ts"
import type { Formula } from "../logic/formula.ts"
import type { FindingSpace } from "../logic/space.ts"
import type { Literals } from "../logic/trail.ts"
import type { MachineState } from "../state-kinds.ts"

/** What a formula is asked of: the findings, or the machine itself with every reading taken. */
export type Asked = "findings" | "machine"

/**
 * A state of one or two faults as two variables of the solver, both the same fault for one: so that "some state survives"
 * is one question however many pairs of faults there are.
 */
export class StateChoice {
  readonly #context: Context
  readonly #space: FindingSpace
  readonly #first: Domain<FaultIndex>
  readonly #second: Domain<FaultIndex>

  constructor(context: Context, space: FindingSpace) {
    this.#context = context
    this.#space = space
    this.#first = space.domain<FaultIndex>(context.model.faults.length)
    this.#second = space.domain<FaultIndex>(context.model.faults.length)
  }

  /** To be decided wherever one of the nodes below is asked for. */
  get variables(): readonly number[] {
    return [...this.#first.variables, ...this.#second.variables]
  }

  /** The state that the solver found. */
  get found(): MachineState {
    return [...new Set([this.#first.value(), this.#second.value()])].sort((a, b) => a - b)
  }

  /** A node that keeps the choice to one fault, or to two. */
  of(count: 1 | 2): number {
    const faults = [...this.#context.model.faults.keys()]
    return this.#space.implying(
      faults.map((fault) => [
        ...this.#first.literals((each) => each !== fault),
        ...this.#second.literals((each) => (each === fault) === (count === 1)),
      ]),
    )
  }

  /** A node that makes this fault one of the state. */
  has(fault: FaultIndex): number {
    return this.#space.implying([this.#first.literals((each) => each === fault)])
  }

  /** A node that makes the rule one that acts on the state. */
  struckBy(rule: RuleIndex): number {
    const takes = (fault: FaultIndex) => this.#context.takes(rule, fault)
    const [a, b] = [this.#first.literals(takes), this.#second.literals(takes)]
    return this.#space.implying(
      at(this.#context.model.rules, rule).verb === "rule out" ? [[...a, ...b]] : [a, b],
    )
  }

  /** A node that lets the state survive all of these eliminations. */
  survives(eliminations: Iterable<EliminationIndex>, asked: Asked): number {
    const clauses: Literals[] = []
    const distributions: EliminationIndex[] = []
    for (const index of eliminations) {
      const { certain, rule } = at(this.#context.eliminations, index)
      if (rule === undefined) distributions.push(index)
      else if (certain) clauses.push(...this.#survivesRule(rule, asked))
    }
    clauses.push(...this.#survivesDistributions(distributions, asked))
    return this.#space.implying(clauses)
  }

  #survivesRule(rule: RuleIndex, asked: Asked): Literals[] {
    const spared = (fault: FaultIndex) => !this.#context.takes(rule, fault)
    const [a, b] = [this.#first.literals(spared), this.#second.literals(spared)]
    const idle = this.#fails(at(this.#context.eliminations, rule).formula, asked)
    // `rule out` acts on a state with one of its faults, `leaves only` on one with none.
    return at(this.#context.model.rules, rule).verb === "rule out"
      ? [
          [...idle, ...a],
          [...idle, ...b],
        ]
      : [[...idle, ...a, ...b]]
  }

  /** A finding rules the state out where all its faults that speak of the reading give it no chance. */
  #survivesDistributions(distributions: readonly EliminationIndex[], asked: Asked): Literals[] {
    const { model, eliminations } = this.#context
    const byReading = new Map<ReadingIndex, EliminationIndex[]>()
    for (const index of distributions) {
      const { formula } = at(eliminations, index)
      if (formula.kind === "in")
        byReading.set(formula.reading, [...(byReading.get(formula.reading) ?? []), index])
    }
    const clauses: Literals[] = []
    for (const [reading, list] of byReading) {
      const speaks = (fault: FaultIndex) => at(model.faults, fault).chances[reading] !== undefined
      for (const { cells, excluded, healthy } of this.#zeroGroups(reading, list)) {
        const formula: Formula = { kind: "in", reading, cells }
        // A fault that does not speak leaves it to the other one.
        const open = (fault: FaultIndex) => speaks(fault) && !excluded.has(fault)
        const either = [...this.#first.literals(open), ...this.#second.literals(open)]
        const elsewhere = this.#fails(formula, asked)
        if (healthy) clauses.push([...elsewhere, ...either])
        else
          for (const side of [this.#first, this.#second])
            clauses.push([...elsewhere, ...either, ...side.literals((fault) => !speaks(fault))])
      }
    }
    return clauses
  }

  /** Cells of a reading that the same distributions give no chance. */
  #zeroGroups(reading: ReadingIndex, distributions: readonly EliminationIndex[]) {
    const { model, eliminations } = this.#context
    const groups = new Map<
      string,
      { cells: CellSet & boolean[]; excluded: ReadonlySet<FaultIndex>; healthy: boolean }
    >()
    const { cells } = at(model.readings, reading)
    for (const cell of cells.keys()) {
      const zero = distributions.filter((index) => {
        const { formula } = at(eliminations, index)
        return formula.kind === "in" && formula.cells[cell]
      })
      if (zero.length === 0) continue
      const key = zero.join(" ")
      let group = groups.get(key)
      if (group === undefined) {
        const shows = zero.filter((index) => at(eliminations, index).from === "shows")
        const excluded = new Set(shows.flatMap((index) => at(eliminations, index).out))
        const healthy = shows.length < zero.length
        group = { cells: cells.map(() => false), excluded, healthy }
        groups.set(key, group)
      }
      group.cells[cell] = true
    }
    return groups.values()
  }

  #fails(formula: Formula, asked: Asked): Literals {
    const space = this.#space
    return space.literal(asked === "findings" ? space.fails(formula) : space.failsActually(formula))
  }
}
