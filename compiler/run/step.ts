import type { Found } from "./belief.ts"
import type { GraphFault, GraphProof, GraphReading, GraphTest, Remedy } from "./graph.ts"

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
   * that would fit without it and what ruled them out there; all findings that ruled something out where none alone would do.
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
