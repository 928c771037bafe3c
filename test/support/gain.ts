import type { Table } from "./arff.ts"

/** Shannon's entropy of a list of counts, in bits. */
export function entropy(counts: readonly number[]): number {
  const sum = counts.reduce((so, each) => so + each, 0)
  return counts.reduce((so, each) => (each === 0 ? so : so - (each / sum) * Math.log2(each / sum)), 0)
}

/** Bits that an attribute tells about the last one: J. R. Quinlan, Machine Learning 1, 1986. The greedy baseline. */
export function informationGain(table: Table, attribute: string): number {
  const at = table.attributes.findIndex((each) => each.name === attribute)
  const classes = table.attributes.at(-1)!.values
  const counts = (rows: Table["rows"]) =>
    classes.map((value) => rows.filter((row) => row.at(-1) === value).length)
  const left = table.attributes[at]!.values.map((value) => table.rows.filter((row) => row[at] === value))
  const remaining = left.reduce(
    (so, rows) => so + (rows.length / table.rows.length) * entropy(counts(rows)),
    0,
  )
  return entropy(counts(table.rows)) - remaining
}
