/**
 * A recorded case, read: every name resolved to an index of the graph it is replayed on, every value to its cell.
 * `read.ts` makes them from lines of JSON; the lines themselves are described by `schema.ts`.
 */
export interface Case {
  readonly id: string
  /** Line in the file, from 1. */
  readonly line: number
  /** ISO 8601 date, where the record has one. */
  readonly date?: string
  readonly told: readonly Found[]
  readonly steps: readonly Step[]
  readonly truth: Truth
  /** The same machine was back with the same complaint. */
  readonly cameBack: boolean
  /** Minutes of steps that could not be read, so that the record's time is whole. */
  readonly otherMinutes: number
}

/** A reading or told question and the cell of the value found. */
export interface Found {
  readonly reading: number
  readonly cell: number
}

export interface Step {
  /** Absent where a reading was learnt without a test. */
  readonly test?: number
  /** The part that the test had fitted was put back. */
  readonly putBack: boolean
  readonly found: readonly Found[] | "gone" | "stays"
  /** Minutes as recorded; without them the test's own count. */
  readonly minutes?: number
}

/**
 * What was the matter in the end: a fault of the graph, one that the ruleset does not list, or nothing that anybody
 * confirmed.
 */
export type Truth =
  | { readonly known: "listed"; readonly fault: number }
  | { readonly known: "unlisted"; readonly name: string }
  | { readonly known: "no" }
