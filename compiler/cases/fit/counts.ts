import type { Values } from "./parameter-values.ts"

/** How many observations an estimate rests on, beside the values: fractions where some are counted by chance. */
export interface Counts {
  /** By fault: cases in which it was confirmed, alone or with another. */
  readonly odds: Float64Array
  /** Cases with one fault, two faults, something not listed. */
  readonly states: Float64Array
  /** By group: observations in each category. */
  readonly groups: readonly Float64Array[]
  /** By rate: how often it could have happened, and did. */
  readonly could: Float64Array
  readonly did: Float64Array
}

export interface Estimate {
  readonly values: Values
  readonly counts: Counts
}

export function sum(all: Float64Array | readonly number[]): number {
  let so = 0
  for (const n of all) so += n
  return so
}
