import { hitting } from "./hitting.ts"

/**
 * The smallest set of elements that is *enough*, where a superset of an enough set is enough too. Serves both kinds of
 * witness: the fewest findings that show something, and the fewest clauses that cannot hold together.
 *
 * Implicit hitting sets: each set that is not enough yields some elements outside of it of which any enough set needs
 * one; a smallest set that hits all of these, once enough, is a smallest enough set. Source: A. Ignatiev, A. Previti,
 * M. Liffiton, J. Marques-Silva, "Smallest MUS extraction with minimal hitting set dualization" (2015).
 */

/** Undefined where the elements are enough; else elements, none of those given, of which one more is needed. */
export type Enough = (elements: ReadonlySet<number>) => readonly number[] | undefined

export interface Fewest {
  readonly elements: readonly number[]
  /** No smaller set is enough; else none of its subsets is. */
  readonly smallest: boolean
}

/** `start`: a set known to be enough. `questions`: how often `enough` may be asked. */
export function fewest(start: readonly number[], enough: Enough, questions = 200): Fewest {
  const kept = minimal(start, enough)
  const needs: (readonly number[])[] = []
  for (let asked = 0; asked < questions; asked++) {
    const hit = hitting(needs)
    if (!hit.proved) break
    // As many as the subset-minimal one: it is a smallest one itself.
    if (hit.elements.length >= kept.length) return { elements: kept, smallest: true }
    const need = enough(new Set(hit.elements))
    if (need === undefined) return { elements: hit.elements, smallest: true }
    needs.push(need)
  }
  return { elements: kept, smallest: kept.length <= 1 }
}

/** Drops one element after the other as long as the rest is enough. */
function minimal(start: readonly number[], enough: Enough): number[] {
  const kept = new Set(start)
  for (const element of start) {
    kept.delete(element)
    if (enough(kept) !== undefined) kept.add(element)
  }
  return [...kept].sort((a, b) => a - b)
}
