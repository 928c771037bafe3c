import type { GraphReading } from "../run/graph.ts"
import type { CellIndex, Table } from "../run/indexes.ts"

/** A reading that is a number: its grid, and by cell the first and the last grid value. */
export interface Quantity {
  readonly from: number
  readonly to: number
  readonly by: number
  readonly cells: Table<CellIndex, { readonly from: number; readonly to: number }>
}

/** Undefined for a choice. */
export function quantityOf({ name, from, to, by, cells }: GraphReading): Quantity | undefined {
  if (from === undefined || to === undefined || by === undefined) return undefined
  return {
    from,
    to,
    by,
    cells: cells.map(({ from, to }, cell) => {
      if (from === undefined || to === undefined) throw new Error(`Cell ${cell} of \`${name}\` has no range`)
      return { from, to }
    }),
  }
}
