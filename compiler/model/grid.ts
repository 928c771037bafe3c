import {
  add,
  ceiling,
  compare,
  decimalsOf,
  divide,
  type Fraction,
  floor,
  isWhole,
  multiply,
  spell,
  subtract,
  whole,
} from "./fraction.ts"

/** The values that a quantity's meter can show: `from`, `from + by`, … `to`, exactly. */
export interface ExactGrid {
  /** As written in the declaration. */
  readonly unit: string
  readonly from: Fraction
  readonly to: Fraction
  readonly by: Fraction
  readonly count: number
  /** Decimals that its values need. */
  readonly decimals: number
}

/** More values than this are refused: no meter resolves them, and indexes stay exact far beyond it. */
export const MOST_VALUES = 10_000_000

/** Steps without `by`: a thousandth of the range. */
export const DEFAULT_STEPS = 1000

/** Undefined where the range is no whole number of steps; `from < to` and `by > 0` are the caller's to check. */
export function gridOf(unit: string, from: Fraction, to: Fraction, by: Fraction): ExactGrid | undefined {
  const steps = divide(subtract(to, from), by)
  if (!isWhole(steps)) return undefined
  return {
    unit,
    from,
    to,
    by,
    count: Number(floor(steps)) + 1,
    decimals: Math.max(decimalsOf(from), decimalsOf(by)),
  }
}

/** The exact value at an index of the grid. */
export function valueAt(grid: ExactGrid, index: number): Fraction {
  return add(grid.from, multiply(grid.by, whole(index)))
}

/** `22.8`: the value at an index with no more decimals than it needs. */
export function spellAt(grid: ExactGrid, index: number): string {
  return spell(valueAt(grid, index), grid.decimals)
}

/** The last index whose value is at most `value`; -1 where there is none. */
export function lastAtMost(grid: ExactGrid, value: Fraction): number {
  return clamp(floor(position(grid, value)), -1, grid.count - 1)
}

/** The first index whose value is at least `value`; `count` where there is none. */
export function firstAtLeast(grid: ExactGrid, value: Fraction): number {
  return clamp(ceiling(position(grid, value)), 0, grid.count)
}

/** The index that a value entered is rounded to, halves upwards; undefined outside the range. */
export function nearestIndex(grid: ExactGrid, value: Fraction): number | undefined {
  if (compare(value, grid.from) < 0 || compare(value, grid.to) > 0) return undefined
  return Number(floor(add(position(grid, value), { top: 1n, bottom: 2n })))
}

/** Steps from the start of the grid, fractions of a step included. */
function position(grid: ExactGrid, value: Fraction): Fraction {
  return divide(subtract(value, grid.from), grid.by)
}

function clamp(index: bigint, least: number, most: number): number {
  return index < BigInt(least) ? least : index > BigInt(most) ? most : Number(index)
}
