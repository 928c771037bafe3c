/**
 * The compiled graph, `ruleout-graph/1`: one JSON document that holds all a runner needs. These are the types of the
 * format; `graph/schema.ts` is the same as JSON Schema (draft 2020-12). All references are indexes into the lists of
 * the same document. Money is in `money`, times in minutes, `trust` and chances are fractions of 1.
 */
export interface Graph {
  readonly format: "ruleout-graph/1"
  readonly ruleset: {
    readonly name: string
    readonly title: string
    readonly version: string
    /** `sha256:…` over the source files. */
    readonly source: string
    readonly compiler: string
  }
  readonly money: string
  readonly bench: number
  readonly comeback: number
  readonly handover: number
  readonly trust: number
  readonly complaint: { readonly name: string; readonly text: string }
  readonly places: readonly GraphPlace[]
  readonly faults: readonly GraphFault[]
  readonly readings: readonly GraphReading[]
  readonly tests: readonly GraphTest[]
  readonly rules: readonly GraphRule[]
  readonly proofs: readonly GraphProof[]
  readonly start: number
  readonly nodes: readonly GraphNode[]
  readonly expected: {
    readonly total: number
    readonly tests: number
    readonly minutes: number
    readonly steps: number
    readonly wrong: number
    readonly handover: number
  }
  /** `lower` is a proved lower bound on `expected.total`; equal to it where `exact`. */
  readonly proof: { readonly exact: boolean; readonly lower: number }
  readonly model: GraphModel
  /** Over all other fields; runners do not look at it, their hosts may (`ruleout/verify`). */
  readonly seal?: GraphSeal
}

export interface GraphSeal {
  /** `sha256:` and the digest in hexadecimal digits. */
  readonly digest: string
  /** `ed25519:` and the signature in base64. */
  readonly signature?: string
}

export interface GraphPlace {
  readonly name: string
  readonly label: string
  readonly kind: "part" | "setup"
  readonly price?: number
  readonly spare?: boolean
  readonly of?: number
  readonly behind?: readonly number[]
}

export interface GraphFault {
  readonly name: string
  readonly label: string
  readonly place: number
  readonly odds: number
  readonly remedy?: string
  readonly fixCosts?: number
  readonly fixTakes?: number
}

export interface GraphReading {
  readonly name: string
  readonly question: string
  readonly told: boolean
  readonly unit?: string
  readonly from?: number
  readonly to?: number
  readonly by?: number
  /** A choice's cell lists its values; a quantity's goes from its first to its last grid value, both included. */
  readonly cells: readonly GraphCell[]
}

export interface GraphCell {
  readonly label: string
  readonly values?: readonly string[]
  readonly from?: number
  readonly to?: number
}

export interface GraphTest {
  readonly name: string
  readonly instruction: string
  readonly kind: "reads" | "swaps" | "redoes" | "told"
  readonly minutes: number
  /** Money, bench time and risks included. */
  readonly cost: number
  readonly needs: readonly string[]
  readonly cautions: readonly string[]
  readonly power?: "on" | "off"
  /** Tests that must have been used before. */
  readonly after?: readonly number[]
}

export interface GraphRule {
  readonly name?: string
  readonly because?: string
  readonly line: number
}

export interface GraphProof {
  readonly text: string
  readonly times: number
  readonly minutes: number
  readonly expects?: { readonly reading: number; readonly cells: readonly number[] }
  readonly places?: readonly number[]
}

export type GraphNode =
  | {
      readonly do: "test"
      readonly test: number
      /** The part that the test fitted goes back to the old one. */
      readonly putBack?: true
      /** Money of this step. */
      readonly cost: number
      readonly edges: readonly GraphEdge[]
    }
  | {
      readonly do: "verdict"
      readonly remedy: Remedy
      readonly chance: number
      readonly candidates: readonly Candidate[]
      /** Proof runs that apply, in order. */
      readonly proofs: readonly number[]
    }
  | { readonly do: "handover"; readonly candidates: readonly Candidate[] }
  /** Too unlikely to plan ahead: the runner plans on from the model. */
  | { readonly do: "advise" }

export interface GraphEdge {
  /** One cell index per reading of the test, or what came of looking for the complaint. */
  readonly cells: readonly number[] | "gone" | "stays"
  /** Chance of this outcome at this node. */
  readonly chance: number
  readonly to: number
  /** Faults whose weight went to zero here. */
  readonly rulesOut: readonly number[]
  /** Rules that acted here. */
  readonly because: readonly number[]
}

export interface Remedy {
  readonly kind: "replace" | "redo" | "done"
  readonly place?: number
}

export interface Candidate {
  readonly fault: number
  readonly cured?: true
  readonly chance: number
}

/** What is needed to go on from findings in another order: the whole of the ruleset's meaning, in numbers. */
export interface GraphModel {
  /** By reading: the healthy distribution over its cells. */
  readonly healthy: readonly (readonly number[])[]
  /** By fault: chance that the complaint is seen in one try while the fault is active. */
  readonly recurs: readonly number[]
  /** By fault: `[reading, distribution]` for each reading on which the active fault differs from the healthy machine. */
  readonly shows: readonly (readonly (readonly [number, readonly number[]])[])[]
  readonly tests: readonly GraphModelTest[]
  readonly rules: readonly { readonly when: GraphCondition; readonly out: readonly number[] }[]
  readonly nevers: readonly GraphCondition[]
}

export interface GraphModelTest {
  /** Readings obtained, `told` included. */
  readonly reads?: readonly number[]
  readonly part?: number
  /** `[setup, chance that redoing it cures]`, closed over `of` and `behind`. */
  readonly redoes?: readonly (readonly [number, number])[]
  readonly tries?: number
  readonly onlyIf?: GraphCondition
}

/** `["in", reading, cells]`, `["and", …]`, `["or", …]`, `["not", condition]`. */
export type GraphCondition =
  | readonly ["in", number, readonly number[]]
  | readonly ["and" | "or", ...GraphCondition[]]
  | readonly ["not", GraphCondition]
