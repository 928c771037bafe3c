import { at } from "../run/lookup.ts"

/** Chances are sums of products of percentages: what differs by less is equal. */
const EQUAL = 1e-9

export function differ(a: number, b: number): boolean {
  return Math.abs(a - b) > EQUAL
}

export function distributionsDiffer(a: Float64Array, b: Float64Array): boolean {
  return a !== b && a.some((chance, cell) => differ(chance, at(b, cell)))
}
