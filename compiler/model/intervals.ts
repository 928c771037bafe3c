import { at } from "../run/lookup.ts"

/**
 * Sets of values of one reading, as runs of indexes: `[first, last]`, both included, in order, with a gap between any
 * two. A quantity's indexes are those of its grid; a choice's number its values in the order of declaration. So a
 * condition over ten million grid values is two numbers.
 */
export type Intervals = readonly (readonly [first: number, last: number])[]

/** Orders the intervals given, drops the empty ones and joins those that touch or overlap. */
export function normalized(intervals: Intervals): Intervals {
  const out: [number, number][] = []
  for (const [first, last] of intervals.filter(([a, b]) => a <= b).sort((a, b) => a[0] - b[0])) {
    const before = out.at(-1)
    if (before !== undefined && first <= before[1] + 1) before[1] = Math.max(before[1], last)
    else out.push([first, last])
  }
  return out
}

export function union(a: Intervals, b: Intervals): Intervals {
  return normalized([...a, ...b])
}

/** All indexes below `count` that `intervals` leaves out. */
export function complement(intervals: Intervals, count: number): Intervals {
  const out: [number, number][] = []
  let next = 0
  for (const [first, last] of intervals) {
    if (next < first) out.push([next, first - 1])
    next = last + 1
  }
  if (next < count) out.push([next, count - 1])
  return out
}

export function intersection(a: Intervals, b: Intervals): Intervals {
  const out: [number, number][] = []
  let i = 0
  let j = 0
  while (i < a.length && j < b.length) {
    const [left, right] = [at(a, i), at(b, j)]
    const first = Math.max(left[0], right[0])
    const last = Math.min(left[1], right[1])
    if (first <= last) out.push([first, last])
    if (left[1] < right[1]) i++
    else j++
  }
  return out
}

/** How many indexes the intervals hold: their base measure. */
export function size(intervals: Intervals): number {
  return intervals.reduce((sum, [first, last]) => sum + last - first + 1, 0)
}
