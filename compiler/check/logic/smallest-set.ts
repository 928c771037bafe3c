import { smallestHittingSet } from "./hitting-set.ts"

/**
 * The smallest set of elements that is *enough*, where a superset of an enough set is enough too. Serves both kinds of
 * witness: the fewest findings that show something, and the fewest clauses that cannot hold together.
 *
 * Implicit hitting sets: each set that is not enough yields some elements outside of it of which any enough set needs
 * one; a smallest set that hits all of these, once enough, is a smallest enough set. Source: A. Ignatiev, A. Previti,
 * M. Liffiton, J. Marques-Silva, "Smallest MUS extraction with minimal hitting set dualization" (2015).
 */

/**
 * `enough`, or else elements, none of those given, of which one more is needed; `unknown` where the budget ran out.
 * No element to add (an empty list) would mean that nothing is ever enough.
 */
export type Enough<E extends number> = (elements: ReadonlySet<E>) => readonly E[] | "enough" | "unknown"

export interface SmallestSet<E extends number> {
  readonly elements: readonly E[]
  /** No smaller set is enough; else the search ended at its budget, and no element of this one can be left out. */
  readonly smallest: boolean
}

/** `start`: a set known to be enough. `questions`: how often `enough` may be asked for the smallest one. */
export function smallestSet<E extends number>(
  start: readonly E[],
  enough: Enough<E>,
  questions = 200,
): SmallestSet<E> {
  const needs: (readonly E[])[] = []
  for (let asked = 0; asked < questions; asked++) {
    const hit = smallestHittingSet(needs)
    if (!hit.proved) break
    const need = enough(new Set(hit.elements))
    if (need === "enough") return { elements: hit.elements, smallest: true }
    if (need === "unknown") break
    needs.push(need)
  }
  return { elements: minimal(start, enough), smallest: false }
}

/** Drops one element after the other as long as the rest is enough. */
function minimal<E extends number>(start: readonly E[], enough: Enough<E>): E[] {
  const kept = new Set(start)
  for (const element of start) {
    kept.delete(element)
    if (enough(kept) !== "enough") kept.add(element)
  }
  return [...kept].sort((a, b) => a - b)
}
