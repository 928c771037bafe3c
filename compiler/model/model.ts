import type { Span } from "../diagnostics/diagnostic.ts"
import type { GraphPicture, GraphPictureUse, GraphReading, GraphTexts } from "../run/graph.ts"
import type {
  CellIndex,
  FaultIndex,
  PictureIndex,
  PlaceIndex,
  ProofIndex,
  ReadingIndex,
  RuleIndex,
  Table,
  TestIndex,
} from "../run/indexes.ts"

/**
 * The model: a ruleset with every name resolved to an index, every condition to sets of cells, and every percentage to
 * a distribution. All that `check/`, `plan/` and `graph/` compute is computed from this; nothing here refers to the
 * tree except spans. Chances are fractions of 1, times are minutes, money is in the ruleset's currency.
 */
export interface Model {
  readonly ruleset: Ruleset
  readonly complaint: Complaint
  /** Parts and setups, in the order of declaration. */
  readonly places: Table<PlaceIndex, Place>
  readonly faults: Table<FaultIndex, Fault>
  /** Readings and told questions, in the order of declaration. */
  readonly readings: Table<ReadingIndex, Reading>
  /** Declared tests in their order, then one of kind `told` for each told question, in theirs. */
  readonly tests: Table<TestIndex, Test>
  readonly rules: Table<RuleIndex, Rule>
  readonly nevers: readonly Never[]
  readonly proofs: Table<ProofIndex, Proof>
  /** Each once, in the order in which they are first used; absent if there are none. */
  readonly pictures?: Table<PictureIndex, Picture>
  /** The texts in other languages, as the graph has them, in the order of their tags; absent if there are none. */
  readonly languages?: readonly GraphTexts[]
}

/** A picture as it is shown: a drawing has been cleaned. */
export interface Picture extends GraphPicture {
  readonly bytes: Uint8Array
}

/** Pictures of a declaration; absent if it has none. */
export interface Pictured {
  readonly pictures?: readonly GraphPictureUse[]
}

export interface Complaint {
  readonly name: string
  readonly text: string
  /** Of one try; 0 if nothing is said. */
  readonly minutes: number
  /** Tries of a look, where the test says nothing; 1 if the complaint says nothing either. */
  readonly tries: number
  readonly span: Span
}

export interface Ruleset {
  readonly name: string
  readonly title: string
  readonly version: string
  /** Of its own texts; absent if nothing is said. */
  readonly language?: string
  readonly money: string
  /** Money per hour at the bench. */
  readonly bench: number
  /** Money per hour that a machine waits while nobody works on it. */
  readonly waiting: number
  readonly comeback: number
  readonly handover: number
  readonly trust: number
  /** Chance that a machine has two listed faults. */
  readonly second: number
  /** Chance that what is wrong is not listed. */
  readonly unlisted: number
  /** Whether `second fault` or `unlisted` is said, be it as 0 %. */
  readonly hedged: boolean
  readonly span: Span
}

export interface Place extends Pictured {
  readonly name: string
  readonly label: string
  readonly kind: "part" | "setup"
  /** 0 for a setup. */
  readonly price: number
  readonly spare: boolean
  /** What it takes to fit a bought one; undefined for a setup, and where the ruleset has no `fit` clause. */
  readonly fit?: Work
  /** Before a bought one may be fitted: `fit after`, `fit only if`. */
  readonly gate?: Gate
  /** The part that this setup is of: reaching the part redoes it. */
  readonly of?: PlaceIndex
  /** Setups to be undone before this place is reached, as declared (not closed). */
  readonly behind: readonly PlaceIndex[]
  /** Chance that redoing this setup cures a fault in it; 1 if nothing is said. */
  readonly cures: number
  /**
   * Setups that are redone when this place is reached, closed over `behind`, each once: for a part those `of` it and
   * those that it is behind; for a setup itself and those that it is behind.
   */
  readonly reach: readonly PlaceIndex[]
  readonly span: Span
}

/** What a reading is worked out from, and how, as the graph has it. */
export type Worked = Required<Pick<GraphReading, "takes" | "gives">>

/** What an action takes, without what it looks for and what it risks. */
export interface Work {
  /** Of work at the bench. */
  readonly minutes: number
  /** Money besides the time. */
  readonly costs: number
  /** Minutes that the machine waits while the bench is free. */
  readonly waits: number
  /** The test whose work it is, where no clause says what it takes. */
  readonly test?: TestIndex
}

export interface Fault extends Pictured {
  readonly name: string
  readonly label: string
  readonly place: PlaceIndex
  readonly odds: number
  /** Chance that the complaint is seen in one try while the fault is active: 1 unless it comes and goes. */
  readonly recurs: number
  /** By reading: the distribution over its cells where this fault speaks of it, else undefined. Without `trust`. */
  readonly chances: Table<ReadingIndex, Float64Array | undefined>
  /** The `shows` clauses on readings as written, for witnesses. */
  readonly shows: readonly {
    readonly reading: ReadingIndex
    readonly cells: CellSet
    readonly chance: number
    readonly span: Span
  }[]
  readonly remedy?: string
  /** The `fix` clause; what a fix takes without one is in `repairs.ts`. */
  readonly fix?: Work
  /** Before it may be fixed: `fix after`, `fix only if`. */
  readonly gate?: Gate
  /** Setups that cure this fault too when they are redone, never its own. */
  readonly eased: readonly { readonly setup: PlaceIndex; readonly chance: number }[]
  readonly span: Span
}

/** One flag per cell of a reading. */
export type CellSet = Table<CellIndex, boolean>

export interface Reading extends Pictured {
  readonly name: string
  readonly question: string
  readonly told: boolean
  /** Chance that a told answer is about the machine at all; 1 for a reading. */
  readonly trust: number
  /** A quantity's grid; absent for `yes or no` and `one of`. */
  readonly grid?: Grid
  /** How it is worked out, where it is. */
  readonly worked?: Worked
  readonly cells: Table<CellIndex, Cell>
  /** Distribution over the cells on a healthy machine. Without `trust`. */
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
  | { readonly kind: "in"; readonly reading: ReadingIndex; readonly cells: CellSet; readonly span: Span }
  | { readonly kind: "and" | "or"; readonly items: readonly Condition[]; readonly span: Span }
  | { readonly kind: "not"; readonly item: Condition; readonly span: Span }

/** What must be done or known before an action. */
export interface Gate {
  /** Tests that must all have been done. */
  readonly after: readonly TestIndex[]
  /** Tests of which one must have been done; empty if nothing is said. */
  readonly afterAny: readonly TestIndex[]
  readonly onlyIf?: Condition
}

export interface Test extends Pictured, Gate {
  readonly name: string
  readonly instruction: string
  readonly kind: "reads" | "swaps" | "redoes" | "removes" | "told"
  /** Readings obtained; for `told` the one question. */
  readonly reads: readonly ReadingIndex[]
  /** Parts that are swapped or removed, in the order written. */
  readonly parts: readonly PlaceIndex[]
  /**
   * All setups redone, what reaching the parts redoes included, closed over `behind`, each once, with the chance that
   * redoing it cures. `named`: the test says so itself; else it comes with the work. Of `removes`: what is redone when
   * the parts go back in, after the look.
   */
  readonly redoes: readonly { readonly setup: PlaceIndex; readonly cures: number; readonly named: boolean }[]
  readonly minutes: number
  /** Minutes that the machine waits while the bench is free. */
  readonly waits: number
  /** Money: minutes × bench / 60 + `costs` + risks; neither the waiting nor the look. */
  readonly cost: number
  readonly costs: number
  readonly risks: readonly { readonly part: PlaceIndex; readonly chance: number }[]
  readonly needs: readonly string[]
  readonly cautions: readonly string[]
  readonly power?: "on" | "off"
  /** Tries of its look: its own, else those of the complaint. */
  readonly tries: number
  readonly span: Span
}

export interface Rule {
  readonly name?: string
  readonly condition: Condition
  readonly verb: "rule out" | "leaves only"
  /**
   * The faults that it names. `rule out` acts on a hypothesis in which one of them is active, `leaves only` on one in
   * which none is.
   */
  readonly of: readonly FaultIndex[]
  /** How far the rule is trusted: what it acts on keeps 1 − `chance` of its weight. */
  readonly chance: number
  readonly because?: string
  /**
   * The list of faults as written, for the edit that spares one of them: `a, any in b except c` has two items, and the
   * second has an `except`.
   */
  readonly faults?: {
    readonly items: readonly {
      readonly of: readonly FaultIndex[]
      readonly except: boolean
      readonly span: Span
    }[]
    readonly span: Span
  }
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
  readonly expects?: { readonly reading: ReadingIndex; readonly cells: CellSet }
  /** Empty: in every job; else in those that did something to one of these places. */
  readonly places: readonly PlaceIndex[]
  readonly span: Span
}
