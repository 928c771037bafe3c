import type { CellIndex, FaultIndex, PlaceIndex, ReadingIndex, TestIndex } from "../../run/indexes.ts"
import type { Found as Cells } from "../../run/session-types.ts"

/**
 * A recorded case, read: every name resolved to an index of the graph that it is replayed on, every value to its cell.
 * `read.ts` makes them from lines of JSON; the lines themselves are described by `schema.ts`.
 */
export interface Case {
  readonly id: string
  /** Line in the file, from 1. */
  readonly line: number
  /** ISO 8601 date, where the record has one. */
  readonly date?: string
  readonly told: readonly Finding[]
  readonly steps: readonly CaseStep[]
  readonly confirmed: Confirmed
  /** How it was confirmed, as recorded; absent where the record does not say. */
  readonly confirmedBy?: string
  /** The same machine came back with the same complaint. */
  readonly cameBack: boolean
  /** The job ended because going on would have cost too much. */
  readonly notWorthRepairing?: true
  /** Minutes of the steps that could not be read, so that the record's time is complete. */
  readonly otherMinutes: number
}

/** A reading or told question and the cell of the value found. */
export interface Finding {
  readonly reading: ReadingIndex
  readonly cell: CellIndex
}

/** What was wrong in the end. */
export type Confirmed =
  /** One fault of the graph, or two in rising order. */
  | { readonly kind: "faults"; readonly faults: readonly FaultIndex[] }
  /** Something that the ruleset does not list; `name` as it is recorded, `unlisted` where nobody named it. */
  | { readonly kind: "unlisted"; readonly name: string }
  /** Nobody confirmed anything. */
  | { readonly kind: "unknown" }

/** What can be done in a job; indexes are those of the graph. */
export type CaseAction =
  /** `leftIn`: after `stays` of a swap the known-good parts stayed in. */
  | { readonly do: "test"; readonly test: TestIndex; readonly leftIn?: true }
  /** A reading that was learnt without a test. */
  | { readonly do: "read" }
  | { readonly do: PartAction; readonly part: PlaceIndex }
  | { readonly do: "fix"; readonly fault: FaultIndex }
  | { readonly do: "look" | "close" | "handOver" }

/** An action that cures for good: a part is bought, or a fault fixed. */
export type RepairAction =
  | { readonly do: "keep" | "replace"; readonly part: PlaceIndex }
  | { readonly do: "fix"; readonly fault: FaultIndex }

export function isRepair(action: { readonly do: string }): action is RepairAction {
  return action.do === "keep" || action.do === "replace" || action.do === "fix"
}

export type PartAction = "takeOut" | "putBack" | "keep" | "replace"

export type CaseStep = CaseAction & {
  /** Readings, or the word that such an action comes to. */
  readonly found: readonly Finding[] | Exclude<Cells, readonly number[]>
  /** Minutes as recorded, those of the look included. */
  readonly minutes?: number
}

export const PART_ACTIONS: readonly PartAction[] = ["takeOut", "putBack", "keep", "replace"]
