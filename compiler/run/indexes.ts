/**
 * Indexes into the lists of a ruleset, each a type of its own, so that one can't be given for another. They are plain
 * numbers when the program runs: the brand exists in types only. Model and graph list the same things in the same
 * order, so both use these.
 */
declare const list: unique symbol
declare const index: unique symbol
export type Index<List extends string> = number & { readonly [list]: List }

/** A place: a part or a setup. */
export type PlaceIndex = Index<"places">
export type FaultIndex = Index<"faults">
/** A reading or a told question. */
export type ReadingIndex = Index<"readings">
/** A cell of one reading. */
export type CellIndex = Index<"cells">
export type TestIndex = Index<"tests">
export type RuleIndex = Index<"rules">
export type ProofIndex = Index<"proofs">
export type PictureIndex = Index<"pictures">
/** A node of a plan or of its graph. */
export type NodeIndex = Index<"nodes">

/** What goes through an array: `ArrayIterator` for TypeScript 5.6 and newer, which older versions don't have. */
export type ValuesOf<T> = ReturnType<T[]["values"]>

/** A list with an entry for each of the things that `I` is an index of; its keys are such indexes. */
export interface Table<I extends number, T> extends ReadonlyArray<T> {
  /** In types only: what `at` takes for this list. */
  readonly [index]?: I
  keys(): ValuesOf<I>
  entries(): ValuesOf<[I, T]>
  map<U>(change: (value: T, index: I, all: readonly T[]) => U): Table<I, U> & U[]
  flatMap<U>(change: (value: T, index: I, all: T[]) => U | readonly U[]): U[]
  filter<S extends T>(keep: (value: T, index: I, all: readonly T[]) => value is S): S[]
  filter(keep: (value: T, index: I, all: readonly T[]) => unknown): T[]
  forEach(visit: (value: T, index: I, all: readonly T[]) => void): void
  some(holds: (value: T, index: I, all: readonly T[]) => unknown): boolean
  every<S extends T>(holds: (value: T, index: I, all: readonly T[]) => value is S): this is readonly S[]
  every(holds: (value: T, index: I, all: readonly T[]) => unknown): boolean
  find(holds: (value: T, index: I, all: readonly T[]) => unknown): T | undefined
  reduce(fold: (so: T, value: T, index: I, all: readonly T[]) => T): T
  reduce(fold: (so: T, value: T, index: I, all: readonly T[]) => T, start: T): T
  reduce<U>(fold: (so: U, value: T, index: I, all: readonly T[]) => U, start: U): U
  slice(): Table<I, T> & T[]
  slice(start: number, end?: number): T[]
  with(index: I, value: T): Table<I, T> & T[]
  /** Of the first entry for which it holds, or -1, which is no index. */
  findIndex(holds: (value: T, index: I, all: readonly T[]) => unknown): I | -1
  indexOf(value: T): I | -1
}

/** What `at` takes for a list: of a table its own index, of any other a number. */
export type IndexOf<L> = L extends { readonly [index]?: infer I }
  ? unknown extends I
    ? number
    : I & number
  : number

/** The same list as a table: said once where the list is made, whose order gives the indexes their meaning. */
export function tableOf<I extends number, T>(entries: readonly T[]): Table<I, T> {
  return entries as Table<I, T>
}
