import type { Act, Graph } from "../../compiler/run/index.ts"

/** One file of vectors; the page beside this says what each field is. */
export interface Vectors {
  readonly format: "ruleout-vectors/2"
  /** What it was drawn from. */
  readonly seed: number
  readonly graph: Graph
  readonly walks: readonly Walk[]
}

export interface Walk {
  readonly about: string
  readonly start: Expected
  readonly steps: readonly { readonly do: Deed; readonly expect: Expected | "refused" }[]
}

export type Deed =
  | { readonly act: Act; readonly found: unknown; readonly leftIn?: boolean }
  | { readonly cannot: Act }
  | { readonly undo: number }
  | { readonly cameBack: true }

export interface Expected {
  /** By the faults' names; those without a chance are left out. */
  readonly hypotheses: readonly {
    readonly faults: readonly string[]
    readonly cured: readonly string[]
    readonly chance: number
  }[]
  /** By the fault's name, the chance that it is active now. */
  readonly active: { readonly [fault: string]: number }
  /** What has to be done next; missing where a runner is free to choose. */
  readonly next?: Act | { readonly handOver: true } | { readonly end: true }
}
