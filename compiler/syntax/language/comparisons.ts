import type { Comparison } from "../syntax-tree.ts"

/** What can follow the words of a comparison. */
export type Compared = "value" | "values" | "number" | "numbers"

/** What can follow the name of a reading in a condition, and what follows that. */
export const COMPARISONS: Readonly<Record<Comparison, Compared>> = {
  is: "value",
  "is not": "value",
  "is one of": "values",
  below: "number",
  above: "number",
  "at least": "number",
  "at most": "number",
  between: "numbers",
  outside: "numbers",
}

/** The comparisons that a reading with values, or one with numbers, can have. */
export function comparisonsOf(type: "values" | "numbers"): string[] {
  const isNumber = ([, compared]: [string, Compared]) => compared === "number" || compared === "numbers"
  return Object.entries(COMPARISONS)
    .filter((each) => isNumber(each) === (type === "numbers"))
    .map(([words]) => words)
}
