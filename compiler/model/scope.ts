import type { FaultIndex, PlaceIndex, ReadingIndex, Table, TestIndex } from "../run/indexes.ts"
import type {
  FaultDecl,
  PartDecl,
  ReadingDecl,
  RuleDecl,
  SetupDecl,
  TestDecl,
} from "../syntax/syntax-tree.ts"
import type { PictureList } from "./bind-pictures.ts"
import type { Domain } from "./cells.ts"
import type { Report } from "./codes.ts"
import type { SymbolTable } from "./symbol-table.ts"

export type PlaceDecl = PartDecl | SetupDecl

/**
 * What all binders share. Declarations are in program order, and a name's index is its position in its list, so that
 * a reference can be followed before the other declaration is bound.
 */
export interface Scope {
  readonly report: Report
  readonly names: SymbolTable
  readonly pictures: PictureList
  readonly places: Table<PlaceIndex, PlaceDecl>
  readonly faults: Table<FaultIndex, FaultDecl>
  readonly readings: Table<ReadingIndex, ReadingDecl>
  readonly tests: Table<TestIndex, TestDecl>
  readonly rules: readonly RuleDecl[]
  /** By reading; undefined if its type is broken, which has been reported: conditions on it are let pass. */
  readonly domains: Table<ReadingIndex, Domain | undefined>
}
