import type { Found } from "./belief.ts"
import type { Entry } from "./follow.ts"
import type { GraphFault, GraphProof, GraphReading, GraphTest, Remedy } from "./graph.ts"
import type { Answer } from "./read.ts"
import type { Closing, Recorded } from "./record.ts"
import type { Standing } from "./standing.ts"

/**
 * A job at the bench after some findings. Immutable: each finding gives a new session, and after a RunError the old one
 * goes on. Steps are counted from 0, as in `log`. The same findings always give the same chances.
 */
export interface Session {
  /** What was found and what could not be done, in order. */
  readonly log: readonly Entry[]
  /** The step to do: of the compiled graph where the findings are those of one of its paths, else by the model. */
  readonly next: Step
  /** All that may be done now: tests in the ruleset's order, then putting back. */
  readonly steps: readonly TestStep[]
  /** By fault, the chances that it is there uncured, and that it was and is cured; all zero where none fits. */
  readonly chances: { readonly uncured: readonly number[]; readonly cured: readonly number[] }
  /** All faults, likeliest first; those without a chance with what ruled them out. */
  readonly candidates: readonly Suspect[]
  /** What is in the machine now that was not, and what is to be thought of a complaint that has gone. */
  readonly standing: Standing
  /**
   * What was found in the step at hand.
   *
   * @throws RunError where the answer cannot be read, or `next` is no test.
   */
  answer(found: Answer, minutes?: number): Session
  /**
   * What was found in any other way: by the test of that name, on the reading of that name without a test, or after
   * putting back the part of that name. Neither `after` nor `only if` stand in the way of what has been done.
   *
   * @throws RunError where nothing of that name is left to find, or the answer cannot be read.
   */
  find(name: string, found: Answer, minutes?: number): Session
  /**
   * The test, or where its part is fitted putting that back, cannot be done here: go on without it.
   *
   * @throws RunError where there is no test of that name.
   */
  cannot(test: string): Session
  /**
   * Takes back one step of the log and keeps the rest; with a fitting goes its putting back.
   *
   * @throws RunError where there is no such step.
   */
  undo(step: number): Session
  /** The job as a recorded case, plain JSON. */
  record(closing: Closing): Recorded
}

/** A test to do, or the part it fitted to put back; with all that the graph says of the test. */
export interface TestStep extends GraphTest {
  readonly do: "test"
  /** Index of the test. */
  readonly test: number
  /** Name of the part that goes back, where the step is to put one back. */
  readonly putBack: string | undefined
  /**
   * The readings to answer, with question, unit and range, or cells whose `values` are the answers; empty where the
   * answer is `"gone"` or `"stays"`.
   */
  readonly reads: readonly GraphReading[]
  /** What can be found and its chance, in the order of the cells; what has no chance is left out. */
  readonly outcomes: readonly { readonly found: Found; readonly label: string; readonly chance: number }[]
}

export interface VerdictStep {
  readonly do: "verdict"
  readonly remedy: Remedy
  /** Label of the place to mend; none where the machine is mended already. */
  readonly label: string | undefined
  /** Chance that this remedy mends it. */
  readonly chance: number
  /** The faults that it mends, each with its share of that chance; their `remedy` says how. */
  readonly faults: readonly Suspect[]
  /** What must hold before the machine goes back, in order. */
  readonly proofs: readonly GraphProof[]
}

export interface HandoverStep {
  readonly do: "handover"
  /**
   * Where no listed fault fits: the findings of which any one could be the mistake, by step of the log, with the faults
   * that would fit without it, and what ruled them out. Empty where no single mistake would do.
   */
  readonly atOdds: readonly { readonly step: number; readonly faults: readonly Suspect[] }[]
}

/** `by`: whether the compiled graph says so, or the model, where the findings are on none of its paths. */
export type Step = (TestStep | VerdictStep | HandoverStep) & { readonly by: "graph" | "model" }

/** What ruled a fault out. */
export interface Out {
  /** Index in the log. */
  readonly step: number
  /** The rule's `because` and line, or what the fault never shows, in words. */
  readonly text: string
}

/** A fault as the graph has it, and what is to be thought of it. */
export interface Suspect extends GraphFault {
  /** Index of the fault. */
  readonly fault: number
  /** Chance that this is, or was, the fault. */
  readonly chance: number
  /** The part of that chance in which it has been cured by what was redone. */
  readonly cured: number
  /** Where the chance is zero. */
  readonly out: Out | undefined
}
