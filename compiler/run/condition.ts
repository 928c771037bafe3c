import type { GraphCondition } from "./graph.ts"
import type { CellIndex, ReadingIndex } from "./indexes.ts"

/** The cell that a reading is known to be in. */
export type CellOf = (reading: ReadingIndex) => CellIndex | undefined

/** Kleene's three values on partial evidence; undefined is unknown. */
export function holds(condition: GraphCondition, cellOf: CellOf): boolean | undefined {
  if (condition[0] === "in") {
    const cell = cellOf(condition[1])
    return cell === undefined ? undefined : condition[2].includes(cell)
  }
  if (condition[0] === "not") {
    const value = holds(condition[1], cellOf)
    return value === undefined ? undefined : !value
  }
  const decides = condition[0] === "or"
  let value: boolean | undefined = !decides
  for (let i = 1; i < condition.length; i++) {
    const item = holds(condition[i] as GraphCondition, cellOf)
    if (item === decides) return item
    if (item === undefined) value = item
  }
  return value
}

/** The readings that a condition names. */
export function readingsOf(condition: GraphCondition, into = new Set<ReadingIndex>()): Set<ReadingIndex> {
  if (condition[0] === "in") into.add(condition[1])
  else for (const item of condition.slice(1)) readingsOf(item as GraphCondition, into)
  return into
}
