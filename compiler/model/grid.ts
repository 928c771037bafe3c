import {
  add,
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

/** Undefined if the range is no whole number of steps; `from < to` and `by > 0` are the caller's to check. */
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

/** Where a value stands on the grid: between two indexes, or on one. */
export interface GridPosition {
  /** The first index whose value is at least the value; `count` where there is none. */
  readonly from: number
  /** The first index whose value is above it; `count` where there is none. One more than `from` if on the grid. */
  readonly after: number
}

export function positionOf(grid: ExactGrid, value: Fraction): GridPosition {
  const steps = position(grid, value)
  const below = floor(steps)
  return {
    from: clamp(isWhole(steps) ? below : below + 1n, grid.count),
    after: clamp(below + 1n, grid.count),
  }
}

/** Steps from the start of the grid, fractions of a step included. */
function position(grid: ExactGrid, value: Fraction): Fraction {
  return divide(subtract(value, grid.from), grid.by)
}

function clamp(index: bigint, most: number): number {
  return index < 0n ? 0 : index > BigInt(most) ? most : Number(index)
}
