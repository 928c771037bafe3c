import type { Condition } from "../model/model.ts"

/** Kleene's strong three-valued logic: false, unknown, true. */
export const FALSE = 0
export const UNKNOWN = 1
export const TRUE = 2

/** Value of a condition on partial evidence: one cell index per reading, -1 where nothing is known. */
export function evaluate(c: Condition, evidence: ArrayLike<number>): number {
  switch (c.kind) {
    case "in": {
      const cell = evidence[c.reading]!
      return cell < 0 ? UNKNOWN : c.cells[cell] ? TRUE : FALSE
    }
    case "not":
      return TRUE - evaluate(c.item, evidence)
    case "and": {
      let value = TRUE
      for (const item of c.items) {
        value = Math.min(value, evaluate(item, evidence))
        if (value === FALSE) return FALSE
      }
      return value
    }
    case "or": {
      let value = FALSE
      for (const item of c.items) {
        value = Math.max(value, evaluate(item, evidence))
        if (value === TRUE) return TRUE
      }
      return value
    }
  }
}
