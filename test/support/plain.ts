/**
 * The same with numbers for indexes and lists for tables, as a test writes it down. Where a test makes a model or a
 * graph of its own, whose numbers mean what they stand for, `indexed` says so.
 */
export type Plain<T> = T extends number
  ? number
  : T extends string | boolean | null | undefined | Float64Array
    ? T
    : T extends readonly unknown[]
      ? number extends T["length"]
        ? readonly Plain<T[number]>[]
        : { readonly [K in keyof T]: Plain<T[K]> }
      : { readonly [K in keyof T]: Plain<T[K]> }

export function indexed<T>(plain: Plain<T>): T {
  return plain as T
}
