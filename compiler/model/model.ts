import type { Span } from "../diagnostics/diagnostic.ts"

/**
 * The model: a ruleset with every name resolved to an index, every condition to sets of cells, and every percentage to
 * a distribution. All that `check/`, `plan/` and `graph/` compute is computed from this; nothing here refers to the
 * tree except spans. Chances are fractions of 1, times are minutes, money is in the ruleset's currency.
 */
export interface Model {
  readonly ruleset: Ruleset
  readonly complaint: { readonly name: string; readonly text: string; readonly span: Span }
  /** Parts and setups, in the order of declaration. */
  readonly places: readonly Place[]
  readonly faults: readonly Fault[]
  /** Readings and told questions, in the order of declaration. */
  readonly readings: readonly Reading[]
  /** Declared tests in their order, then one of kind `told` for each told question, in theirs. */
  readonly tests: readonly Test[]
  readonly rules: readonly Rule[]
  readonly nevers: readonly Never[]
  readonly proofs: readonly Proof[]
}

export interface Ruleset {
  readonly name: string
  readonly title: string
  readonly version: string
  readonly money: string
  /** Money per hour at the bench. */
  readonly bench: number
  readonly comeback: number
  readonly handover: number
  readonly trust: number
  readonly span: Span
}

export interface Place {
  readonly name: string
  readonly label: string
  readonly kind: "part" | "setup"
  /** 0 for a setup. */
  readonly price: number
  readonly spare: boolean
  /** The part whose swap redoes this setup. */
  readonly of?: number
  /** Setups to be undone before this place is reached, as declared (not closed). */
  readonly behind: readonly number[]
  /** Chance that redoing this setup cures a fault in it; 1 where nothing is said. */
  readonly cures: number
  readonly span: Span
}

export interface Fault {
  readonly name: string
  readonly label: string
  readonly place: number
  readonly odds: number
  /** Chance that the complaint is seen in one try while the fault is active: 1 unless it comes and goes. */
  readonly recurs: number
  /** By reading: the distribution over its cells while active, or undefined where the healthy one holds (told: `trust` mixed in already). */
  readonly chances: readonly (Float64Array | undefined)[]
  /** The `shows` clauses on readings as written, for witnesses. */
  readonly shows: readonly {
    readonly reading: number
    readonly cells: CellSet
    readonly chance: number
    readonly span: Span
  }[]
  readonly remedy?: string
  readonly fixCosts?: number
  readonly fixTakes?: number
  readonly span: Span
}

/** One flag per cell of a reading. */
export type CellSet = readonly boolean[]

export interface Reading {
  readonly name: string
  readonly question: string
  readonly told: boolean
  /** 1 for a reading. */
  readonly trust: number
  /** A quantity's grid; absent for `yes or no` and `one of`. */
  readonly grid?: Grid
  readonly cells: readonly Cell[]
  /** Distribution over the cells on a healthy machine (told: `trust` mixed in already). */
  readonly healthy: Float64Array
  /** The `normally` clause as written, for witnesses. */
  readonly normally?: { readonly cells: CellSet; readonly chance: number; readonly span: Span }
  readonly span: Span
}

export interface Grid {
  /** The unit as written in the declaration, like `mV`. */
  readonly unit: string
  readonly from: number
  readonly to: number
  readonly by: number
  /** Number of grid values: from, from+by, … up to `to`. */
  readonly count: number
  /** Every number that a condition compares this quantity with, for what the meter cannot tell apart. */
  readonly thresholds?: readonly Threshold[]
}

/** A limit as written. It parts the grid before index `cut`; two limits with the same `cut` part it alike. */
export interface Threshold {
  /** In the grid's unit. */
  readonly at: number
  readonly cut: number
  readonly span: Span
}

/** A choice's cell holds one value; a quantity's a run of grid values, `first` to `last` (grid indexes, both included). */
export interface Cell {
  /** `yes`, or `22.8 to 25.2 V`. */
  readonly label: string
  /** Base measure: how many values the cell holds. */
  readonly weight: number
  readonly value?: string
  readonly first?: number
  readonly last?: number
}

/** A condition over cells. */
export type Condition =
  | { readonly kind: "in"; readonly reading: number; readonly cells: CellSet; readonly span: Span }
  | { readonly kind: "and" | "or"; readonly items: readonly Condition[]; readonly span: Span }
  | { readonly kind: "not"; readonly item: Condition; readonly span: Span }

export interface Test {
  readonly name: string
  readonly instruction: string
  readonly kind: "reads" | "swaps" | "redoes" | "told"
  /** Readings obtained; for `told` the one question. */
  readonly reads: readonly number[]
  /** The part that is swapped. */
  readonly part?: number
  /**
   * All setups redone, closed over `of` and `behind` as semantics.md says, each once, with the chance that redoing it
   * cures. `named`: the test says so itself; else it comes with the work.
   */
  readonly redoes: readonly { readonly setup: number; readonly cures: number; readonly named: boolean }[]
  readonly minutes: number
  /** Money: minutes × bench / 60 + `costs` + risks. */
  readonly cost: number
  readonly costs: number
  readonly risks: readonly { readonly part: number; readonly chance: number }[]
  readonly needs: readonly string[]
  readonly cautions: readonly string[]
  readonly power?: "on" | "off"
  /** Tests that must have been used. */
  readonly after: readonly number[]
  readonly onlyIf?: Condition
  readonly tries: number
  readonly span: Span
}

export interface Rule {
  readonly name?: string
  readonly condition: Condition
  /** `leaves only` is resolved too: the faults that it sets to zero. */
  readonly out: readonly number[]
  readonly verb: "rule out" | "leaves only"
  readonly because?: string
  /** The list of faults as written, for the edit that spares one of them. */
  readonly faults?: { readonly span: Span; readonly except: boolean }
  readonly span: Span
  /** Line of the keyword, from 1. */
  readonly line: number
}

export interface Never {
  readonly condition: Condition
  readonly span: Span
}

export interface Proof {
  readonly text: string
  readonly times: number
  /** The number of `times` as written; without the clause the empty place where it would stand. */
  readonly timesAt: Span
  readonly minutes: number
  readonly expects?: { readonly reading: number; readonly cells: CellSet }
  /** Empty: for every verdict. */
  readonly places: readonly number[]
  readonly span: Span
}
