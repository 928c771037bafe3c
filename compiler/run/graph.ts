import type {
  CellIndex,
  FaultIndex,
  NodeIndex,
  PictureIndex,
  PlaceIndex,
  ProofIndex,
  ReadingIndex,
  RuleIndex,
  Table,
  TestIndex,
} from "./indexes.ts"

/**
 * The compiled graph, `ruleout-graph/2`: one JSON document that holds all a runner needs. These are the types of the
 * format; `graph/schema.ts` is the same as JSON Schema (draft 2020-12). All references are indexes into the lists of
 * the same document. Money is in `money`, times in minutes, `trust` and chances are fractions of 1.
 */
export interface Graph {
  readonly format: "ruleout-graph/2"
  readonly ruleset: {
    readonly name: string
    readonly title: string
    readonly version: string
    /** `sha256:…` over the source files. */
    readonly source: string
    readonly compiler: string
    /** Of the texts in the graph, by its tag in BCP 47; `en` where it is absent. */
    readonly language?: string
  }
  readonly money: string
  /** Money per hour at the bench. */
  readonly bench: number
  /** Money per hour that a machine waits. */
  readonly waiting: number
  readonly comeback: number
  readonly handover: number
  readonly trust: number
  /** Chance that a machine has two listed faults. */
  readonly second: number
  /** Chance that what is wrong is not listed. */
  readonly unlisted: number
  readonly complaint: { readonly name: string; readonly text: string }
  readonly places: Table<PlaceIndex, GraphPlace>
  readonly faults: Table<FaultIndex, GraphFault>
  readonly readings: Table<ReadingIndex, GraphReading>
  readonly tests: Table<TestIndex, GraphTest>
  readonly rules: Table<RuleIndex, GraphRule>
  readonly proofs: Table<ProofIndex, GraphProof>
  /** Absent where there are none. Their bytes are not in the graph: whoever shows them has them by their digests. */
  readonly pictures?: Table<PictureIndex, GraphPicture>
  readonly start: NodeIndex
  readonly nodes: Table<NodeIndex, GraphNode>
  readonly expected: GraphExpected
  /** `lower` is a proved lower bound on `expected.total`; equal to it where `exact`. */
  readonly proof: { readonly exact: boolean; readonly lower: number }
  readonly model: GraphModel
  /** The texts in other languages. Runners do not look at them; `inLanguage` puts them in their places. */
  readonly languages?: readonly GraphTexts[]
  /** Over all other fields; runners do not look at it, their hosts may (`ruleout/verify`). */
  readonly seal?: GraphSeal
}

/** Per job, over all jobs of the ruleset. `total` is the sum of the seven parts after it. */
export interface GraphExpected {
  readonly total: number
  /** Money of tests, questions, put backs and looks, risks included. */
  readonly tests: number
  /** Prices of parts bought. */
  readonly parts: number
  /** Money of fitting and fixing, looks included. */
  readonly repairs: number
  readonly proof: number
  readonly comebacks: number
  readonly handover: number
  readonly waiting: number
  /** Minutes of work, no waiting. */
  readonly minutes: number
  readonly steps: number
  /** Chance that the machine comes back. */
  readonly comesBack: number
  readonly handedOver: number
  /** Money for parts bought in which no fault was present. */
  readonly wasted: number
  /** Weight that rules took, and that nevers took of the rest. */
  readonly struck: number
  readonly forbidden: number
  /** What the same jobs cost somebody who knows the state from the start. */
  readonly unavoidable: number
}

export interface GraphSeal {
  /** `sha256:` and the digest in hexadecimal digits. */
  readonly digest: string
  /** Of a signed graph: which key, what for, when, and from when on it is not to be used any more. */
  readonly key?: string
  readonly purpose?: string
  readonly at?: string
  readonly expires?: string
  /** `ed25519:` and the signature of the other fields, in base64. */
  readonly signature?: string
}

/** A picture, which decides nothing. */
export interface GraphPicture {
  /** `sha256:` and the digest of its bytes in hexadecimal digits. */
  readonly digest: string
  readonly type: "image/png" | "image/jpeg" | "image/webp" | "image/svg+xml"
  /** In pixels, where they are known. */
  readonly width?: number
  readonly height?: number
}

/** Where a picture is shown, and what it shows there. */
export interface GraphPictureUse {
  readonly picture: PictureIndex
  readonly text: string
  /** Which of the test's cautions it belongs to. */
  readonly caution?: number
}

export interface GraphPlace {
  readonly name: string
  readonly label: string
  readonly kind: "part" | "setup"
  readonly price?: number
  readonly spare?: boolean
  readonly of?: PlaceIndex
  readonly behind?: readonly PlaceIndex[]
  readonly pictures?: readonly GraphPictureUse[]
}

export interface GraphFault {
  readonly name: string
  readonly label: string
  readonly place: PlaceIndex
  readonly odds: number
  readonly remedy?: string
  readonly pictures?: readonly GraphPictureUse[]
}

export interface GraphReading {
  readonly name: string
  readonly question: string
  readonly told: boolean
  readonly unit?: string
  readonly from?: number
  readonly to?: number
  readonly by?: number
  /** Numbers that are taken at the bench for a reading that is worked out from them. A runner may ask for the result instead. */
  readonly takes?: readonly GraphInput[]
  /** How it is worked out, in the units of `takes` and of the reading. */
  readonly gives?: GraphFormula
  /** A choice's cell lists its values; a quantity's goes from its first to its last grid value, both included. */
  readonly cells: Table<CellIndex, GraphCell>
  readonly pictures?: readonly GraphPictureUse[]
}

export interface GraphInput {
  readonly name: string
  readonly question: string
  readonly unit: string
}

/** A number, one that is taken (by its place in `takes`), or an operation on two formulas. */
export type GraphFormula =
  | number
  | readonly ["take", number]
  | readonly ["+" | "-" | "*" | "/", GraphFormula, GraphFormula]

export interface GraphCell {
  readonly label: string
  readonly values?: readonly string[]
  readonly from?: number
  readonly to?: number
}

export interface GraphTest extends Pick<GraphGate, "after" | "afterAny"> {
  readonly name: string
  readonly instruction: string
  readonly kind: "reads" | "swaps" | "redoes" | "removes" | "told"
  readonly minutes: number
  /** Minutes that the machine waits while the bench is free. */
  readonly waits?: number
  /** Money, bench time, risks and waiting included; the look is not. */
  readonly cost: number
  readonly needs: readonly string[]
  readonly cautions: readonly string[]
  readonly power?: "on" | "off"
  readonly pictures?: readonly GraphPictureUse[]
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
  readonly expects?: { readonly reading: ReadingIndex; readonly cells: readonly CellIndex[] }
  readonly places?: readonly PlaceIndex[]
}

/**
 * The texts of a graph in another language, each where it stands in the graph: the lists go by the same indexes. What is
 * absent isn't translated, and stays as it is.
 */
export interface GraphTexts {
  readonly language: string
  readonly ruleset?: { readonly title?: string }
  readonly complaint?: { readonly text?: string }
  readonly places?: Table<PlaceIndex, { readonly label?: string } & GraphPictureTexts>
  readonly faults?: Table<
    FaultIndex,
    { readonly label?: string; readonly remedy?: string } & GraphPictureTexts
  >
  readonly readings?: Table<ReadingIndex, GraphReadingTexts>
  readonly tests?: Table<TestIndex, GraphTestTexts>
  readonly rules?: Table<RuleIndex, { readonly because?: string }>
  readonly proofs?: Table<ProofIndex, { readonly text?: string }>
}

interface GraphPictureTexts {
  readonly pictures?: readonly { readonly text?: string }[]
}

export interface GraphReadingTexts extends GraphPictureTexts {
  readonly question?: string
  readonly takes?: readonly { readonly question?: string }[]
  readonly cells?: Table<CellIndex, { readonly label?: string }>
}

export interface GraphTestTexts extends GraphPictureTexts {
  readonly instruction?: string
  /** With those that aren't translated as they are. */
  readonly needs?: readonly string[]
  readonly cautions?: readonly string[]
}

export type GraphNode = GraphStep | GraphHandover | GraphAdvise

/** An action; its indexes are those of `tests`, `places`, `faults` and `proofs`. */
export type GraphAction =
  | { readonly do: "test"; readonly test: TestIndex }
  | { readonly do: "takeOut" | "putBack" | "keep" | "replace"; readonly part: PlaceIndex }
  | { readonly do: "fix"; readonly fault: FaultIndex }
  | { readonly do: "look" }
  /** `proofs`: those that count in this job, in order. */
  | { readonly do: "close"; readonly proofs: readonly ProofIndex[] }

export type GraphStep = GraphAction & {
  /** Money of this step, waiting included; the tries of its look are not. */
  readonly cost: number
  /** Expected money from here to the end of the job under this plan. */
  readonly costToGo: number
  readonly edges: readonly GraphEdge[]
}

export interface GraphHandover {
  readonly do: "handover"
  readonly candidates: readonly Candidate[]
}

/** Too unlikely to plan ahead: the runner plans on from the model. */
export interface GraphAdvise {
  readonly do: "advise"
  /** What the planner expects from here on at most. */
  readonly costToGo: number
}

export interface GraphEdge {
  /** One cell index per reading of the test, what came of a look or of the proof run, or `done` where nothing is looked at. */
  readonly on: readonly CellIndex[] | "gone" | "stays" | "holds" | "fails" | "done"
  /** Chance of this outcome at this node. */
  readonly chance: number
  /** Absent where the job ends. */
  readonly to?: NodeIndex
  /** After `stays` of a swap: the known-good parts stay in; else the old ones go back. */
  readonly leaveIn?: true
  /** Faults that could be present before, and cannot be any more. */
  readonly rulesOut: readonly FaultIndex[]
  /** Rules that acted here. */
  readonly because: readonly RuleIndex[]
}

export interface Candidate {
  /** Absent for something not listed. */
  readonly fault?: FaultIndex
  /** Chance that it was in the machine as it came in. */
  readonly present: number
  /** Chance that it is active now. */
  readonly active: number
}

/** What is needed to go on from findings in another order: the whole of the ruleset's meaning, in numbers. */
export interface GraphModel {
  readonly complaint: { readonly minutes: number; readonly tries: number }
  /** By reading: the base measure over its cells, summing to 1. */
  readonly base: Table<ReadingIndex, Table<CellIndex, number>>
  /** By reading: the healthy distribution over its cells, without trust. */
  readonly healthy: Table<ReadingIndex, Table<CellIndex, number>>
  /** By reading: 1 but for told questions. */
  readonly trust: Table<ReadingIndex, number>
  /** By fault: chance that the complaint is seen in one try while the fault is active. */
  readonly recurs: Table<FaultIndex, number>
  /** By fault: `[reading, distribution]` for each reading that the fault speaks of, without trust. */
  readonly shows: Table<FaultIndex, readonly (readonly [ReadingIndex, Table<CellIndex, number>])[]>
  /** By fault: `[setup, chance]` for each setup, not its own, that cures it too when it is redone. */
  readonly eased: Table<FaultIndex, readonly (readonly [PlaceIndex, number])[]>
  /** By place: `[setup, chance]` of what is redone when a part is reached, or when this setup is redone. */
  readonly reach: Table<PlaceIndex, readonly (readonly [PlaceIndex, number])[]>
  /** By place: what it takes to fit a bought part; null for a setup. Its price stands in `places`. */
  readonly replace: Table<PlaceIndex, GraphWork | null>
  /** By fault: what it takes to fix it; null where there is no such action. */
  readonly fix: Table<FaultIndex, GraphWork | null>
  readonly tests: Table<TestIndex, GraphModelTest>
  readonly rules: Table<RuleIndex, GraphModelRule>
  readonly nevers: readonly GraphCondition[]
}

export interface GraphWork extends GraphGate {
  readonly minutes: number
  /** Money, waiting not included. */
  readonly cost: number
  /** Minutes that the machine waits while the bench is free. */
  readonly waits: number
  /** The test whose work it is, where the ruleset says nothing of its own. */
  readonly test?: TestIndex
}

/** What must be done or known before an action. */
export interface GraphGate {
  /** Tests that must all have been done. */
  readonly after?: readonly TestIndex[]
  /** Tests of which one must have been done. */
  readonly afterAny?: readonly TestIndex[]
  readonly onlyIf?: GraphCondition
}

export interface GraphModelTest extends Pick<GraphGate, "onlyIf"> {
  /** Readings obtained, `told` included. */
  readonly reads?: readonly ReadingIndex[]
  /** Parts swapped or removed. */
  readonly parts?: readonly PlaceIndex[]
  /** `[setup, chance that redoing it cures]`, what reaching the parts redoes included. */
  readonly redoes?: readonly (readonly [PlaceIndex, number])[]
  /** Tries of its look; absent where it does not look. */
  readonly tries?: number
}

export interface GraphModelRule {
  readonly when: GraphCondition
  readonly verb: "rule out" | "leaves only"
  /** The faults that it names. */
  readonly of: readonly FaultIndex[]
  /** How far the rule is trusted. */
  readonly chance: number
}

/** `["in", reading, cells]`, `["and", …]`, `["or", …]`, `["not", condition]`. */
export type GraphCondition =
  | readonly ["in", ReadingIndex, readonly CellIndex[]]
  | readonly ["and" | "or", ...GraphCondition[]]
  | readonly ["not", GraphCondition]
