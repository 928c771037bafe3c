import type { GraphAction, GraphFault, GraphPlace, GraphProof, GraphReading, GraphTest } from "./graph.ts"
import type { CellIndex, FaultIndex, RuleIndex } from "./indexes.ts"

/** What came of an action: a cell per reading, what a look or the proof run showed, or `done` where nothing is looked at. */
export type Found = readonly CellIndex[] | "gone" | "stays" | "holds" | "fails" | "done"

/** A value as a host gives it: a listed value, a number in the reading's unit, or a text with a unit; true is `yes`. */
export type Value = string | number | boolean

/**
 * What somebody says was found: one of the words of `Found`; a value, where the test has one reading; values by the
 * reading's name; or cell indexes in the order of the test's readings, as `outcomes` and the graph's edges have them.
 */
export type Answer = Value | readonly number[] | { readonly [reading: string]: Value }

/**
 * An action by the names of the ruleset, as a record has it. A told question is a test of its own name. `reading`: found
 * without any of the tests. `handOver` ends the job; it is answered with `done`.
 */
export type Act =
  | { readonly test: string }
  | { readonly reading: string }
  | { readonly takeOut: string }
  | { readonly putBack: string }
  | { readonly keep: string }
  | { readonly replace: string }
  | { readonly fix: string }
  | { readonly look: true }
  | { readonly close: true }
  | { readonly handOver: true }

/** What may be said beside a finding. */
export interface Beside {
  /** Minutes that the step took, for the record. */
  readonly minutes?: number
  /** Of a swap: whether the known-good parts stay in after `stays`. As the plan has it where nothing is said. */
  readonly leftIn?: boolean
  /** The numbers that readings were worked out from, for the record. */
  readonly taken?: Taken
}

/** By reading, and by the name of what it takes: each number as it was taken, with its unit. */
export type Taken = Readonly<Record<string, Readonly<Record<string, string>>>>

/** Something that was done and found. `said`: the values as they go on record, in the order of the readings. */
export interface Done extends Beside {
  readonly act: Act
  readonly found: Found
  readonly said?: readonly string[]
}

/**
 * One line of a log, plain data: something done, an action that cannot be done here, or that the machine came back after
 * the job had ended, which begins another job of the same machine.
 */
export type Entry = Done | { readonly cannot: Act } | { readonly cameBack: true }

/**
 * A job at the bench after some findings. Immutable: each finding gives a new session, and after a RunError the old one
 * goes on. Steps are counted from 0, as in `log`. The same findings always give the same chances.
 */
export interface Session {
  /** What was done and found, and what cannot be done, in order. `reopen(graph, log)` makes the session from it again. */
  readonly log: readonly Entry[]
  /** The step to do: of the compiled graph where the log is one of its paths, else by the model. */
  readonly next: Step
  /** All that may be done now, in the order of the graph's lists. */
  readonly steps: readonly ActionStep[]
  /** All faults and something not listed, likeliest first; those without a chance with what ruled them out. */
  readonly candidates: readonly Suspect[]
  /** Everything that can be wrong, by what of it is cured; the chances add up to 1. Empty where no state fits. */
  readonly hypotheses: readonly Hypothesis[]
  /** What is likely to be present together, likeliest first: pairs of faults with a chance. */
  readonly pairs: readonly Pair[]
  /** What the bench should know: that two faults, or something not listed, have become likely, and why. */
  readonly suspicions: readonly Suspicion[]
  /** From here to the end of the job. */
  readonly outlook: Outlook
  /** What is in the machine now that was not, and what is to be thought of a complaint that has gone. */
  readonly standing: MachineStatus
  /**
   * What was found in the step at hand.
   *
   * @throws RunError where the answer cannot be read, or the job has ended.
   */
  answer(found: Answer, beside?: Beside): Session
  /**
   * What was done and found in any other way. Neither `after` nor `only if` stand in the way of what has been done.
   *
   * @throws RunError where nothing of that name can be done now, or the answer cannot be read.
   */
  find(act: Act, found: Answer, beside?: Beside): Session
  /**
   * The test of that name, or any other action, cannot be done here: go on without it. Doing it after all lifts that.
   *
   * @throws RunError where there is no test of that name.
   */
  cannot(action: string | Act): Session
  /**
   * Takes back one step of the log and keeps the rest; with a fitting goes what was done with the fitted part.
   *
   * @throws RunError where there is no such step.
   */
  undo(step: number): Session
  /**
   * The machine came back after the job had ended: begins another job of it, with all that the first one found.
   *
   * @throws RunError where the job has not ended.
   */
  cameBack(): Session
  /**
   * What ruled a fault out, and what would bring it back.
   *
   * @throws RunError where there is no fault of that name.
   */
  why(fault: string): Why
  /** The job as a recorded case, plain JSON; of a machine that came back the last job alone. */
  record(closing: Closing): Recorded
}

/** One action, with all that the bench needs to do it. */
export type ActionStep = GraphAction & {
  /** What it is called in `find`. */
  readonly act: Act
  /** The test, where one is done. */
  readonly info: GraphTest | undefined
  /** The place that is worked on: of a part's action the part, of a fix the fault's place. */
  readonly place: GraphPlace | undefined
  /** Setups that are redone on the way, which the action does not name itself. */
  readonly disturbs: readonly GraphPlace[]
  /** Parts that are in the machine during it and have to come out or go back in after it. */
  readonly parts: readonly GraphPlace[]
  /** The faults that it may cure now, likeliest first, each with its own `remedy`; empty where it cures none. */
  readonly cures: readonly Suspect[]
  /** What can hurt: of a test its own, of other work on a place those of all tests that work on it. */
  readonly cautions: readonly string[]
  /** Tools: of a test its own, of a repair that takes a test's work those of that test. */
  readonly needs: readonly string[]
  /** Of work; the tries of the look included as far as they are to be expected. */
  readonly minutes: number
  /** Minutes that the machine waits while the bench is free. */
  readonly waits: number
  /** Money, waiting and price included, looks not. */
  readonly cost: number
  /** Money for the tries of the look, as far as they are to be expected. */
  readonly lookCost: number
  /** Tries of its look; 0 where it does not look. */
  readonly tries: number
  /** The readings to answer; empty where the answer is a word. */
  readonly reads: readonly GraphReading[]
  /** Of `close`: the proof runs that count in this job, in order. */
  readonly proofRuns: readonly GraphProof[]
  /** After `stays` of a swap: whether the plan leaves the known-good parts in. */
  readonly leaveIn: boolean
  /** What can be found and its chance, in the order of the cells; what has no chance is left out. */
  readonly outcomes: readonly { readonly found: Found; readonly label: string; readonly chance: number }[]
}

export interface HandoverStep {
  readonly do: "handover"
  /** Whether any state of the machine fits the findings. */
  readonly fits: boolean
  /**
   * Where none fits: the findings of which any one could be the mistake, by step of the log, with the faults that would
   * fit without it, and what ruled them out. Empty where no single mistake would do.
   */
  readonly atOdds: readonly { readonly step: number; readonly faults: readonly Suspect[] }[]
}

/** The machine passed its proof run, or was handed over: nothing more is to be done. */
export interface EndStep {
  readonly do: "end"
  readonly closed: boolean
}

/** `by`: whether the compiled graph says so, or the model, where the log is on none of its paths. */
export type Step = (ActionStep | HandoverStep | EndStep) & { readonly by: "graph" | "model" }

/** What ruled a fault out. */
export interface Out {
  /** Index in the log. */
  readonly step: number
  /** A rule, a `never`, what a reading showed, or what a look or the proof run did. */
  readonly by: "rule" | "never" | "reading" | "look" | "proof"
  /** Index of the rule, where it is one. */
  readonly rule?: RuleIndex
  /** The rule's `because` and line, or what the fault never shows, in words. */
  readonly text: string
}

/** What can be wrong: one or two faults in rising order, none for something not listed; and which of them are cured. */
export interface Hypothesis {
  readonly faults: readonly FaultIndex[]
  readonly cured: readonly FaultIndex[]
  readonly chance: number
}

/** A fault and what is to be thought of it; without `fault` and `info` it is something not listed. */
export interface Suspect {
  /** Index of the fault. */
  readonly fault: FaultIndex | undefined
  readonly info: GraphFault | undefined
  /** Chance that it was in the machine as it came in. */
  readonly present: number
  /** Chance that it is active now: present, not cured, and its part in the machine. */
  readonly active: number
  /** Where `present` is 0. */
  readonly out: Out | undefined
}

export interface Pair {
  readonly faults: readonly [FaultIndex, FaultIndex]
  readonly chance: number
}

export interface Suspicion {
  readonly of: "two faults" | "not listed"
  readonly chance: number
  /** Steps of the log that speak for it, the strongest first. */
  readonly steps: readonly number[]
}

export interface Why {
  readonly suspect: Suspect
  /** Every elimination of the fault, in order. */
  readonly out: readonly Out[]
  /** Steps of the log each of which, if it were wrong, would bring the fault back. */
  readonly back: readonly number[]
}

/** Expected from here to the end; as the graph has it on its paths, else an estimate by the model. */
export interface Outlook {
  readonly cost: number
  /** Money for parts, contained in `cost`. */
  readonly parts: number
  /** Minutes of work. */
  readonly minutes: number
  /** Chance that the machine is handed over. */
  readonly handedOver: number
  readonly by: "graph" | "model"
}

export interface MachineStatus {
  /** Parts that are replaced by known-good ones now. */
  readonly fitted: readonly GraphPlace[]
  /** Setups that have been redone in this job. */
  readonly redone: readonly GraphPlace[]
  /** Whether the complaint was gone at the last look; undefined before the first. */
  readonly gone: boolean | undefined
  /** Whether anything has changed the machine since the complaint was last looked for. */
  readonly changed: boolean
  /** Chance that nothing is active. */
  readonly whole: number
}

/** What is said when a job is recorded. */
export interface Closing {
  readonly id: string
  /** ISO 8601 date. */
  readonly date?: string
  /** Names of the faults that it turned out to be; `"unlisted"` for one that the ruleset does not have. */
  readonly faults?: readonly string[]
  readonly confirmed?: string
  readonly cameBack?: boolean
}

/** A recorded case as `cases/` reads it; the names are those of the file. */
export interface Recorded {
  readonly id: string
  readonly date?: string
  readonly complaint: string
  readonly told: { readonly [question: string]: string | number }
  readonly steps: readonly RecordedStep[]
  readonly faults?: readonly string[]
  readonly confirmed?: string
  readonly came_back?: boolean
  /** What the owner wanted to pay at most, and that the job ended for that: a host adds them. */
  readonly owner_stops_at?: number
  readonly not_worth_repairing?: boolean
}

export type RecordedStep = Act & {
  readonly found: string | { readonly [reading: string]: string | number }
  readonly minutes?: number
  readonly taken?: Taken
  readonly leftIn?: true
}
