import type { IndexOf } from "./indexes.ts"

/**
 * The entry at an index that lies in the list, as it does wherever index and list belong together.
 *
 * @throws RangeError where they don't, which is a mistake of ours and no input's.
 */
export function at<L extends ArrayLike<unknown>>(list: L, index: IndexOf<L>): L[number] {
  const entry = list[index as number]
  return entry === undefined ? missing(list, index) : entry
}

/**
 * As `at`, for loops that are run millions of times. V8 compiles a function that has only ever read one kind of list
 * into a plain load, and `at` reads all kinds.
 */
export function numberAt(list: readonly number[], index: number): number {
  return list[index] ?? missing(list, index)
}

export function itemAt<T extends object>(list: readonly (T | undefined)[], index: number): T {
  return list[index] ?? missing(list, index)
}

function missing(list: ArrayLike<unknown>, index: number): never {
  throw new RangeError(`No entry ${index} in a list of ${list.length}`)
}

/**
 * What a map holds under a key that it has.
 *
 * @throws RangeError where it hasn't.
 */
export function lookUp<K, V>(map: { get(key: K): V | undefined; readonly size: number }, key: K): V {
  const value = map.get(key)
  if (value === undefined) throw new RangeError(`No entry \`${key}\` in a map of ${map.size}`)
  return value
}

/**
 * The last entry of a list that isn't empty.
 *
 * @throws RangeError where it is.
 */
export function last<T>(list: readonly T[]): T {
  return at(list, list.length - 1)
}

/** Adds to a number of a list, at an index that lies in it, and gives the sum. */
export function addTo(
  list: number[] | Float64Array | Int32Array | Uint32Array,
  index: number,
  amount: number,
) {
  const sum = at(list, index) + amount
  list[index] = sum
  return sum
}
