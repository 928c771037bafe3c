import { at } from "../../run/lookup.ts"
import type { FindingSpace } from "./space.ts"

/**
 * For each list a node that implies all of its nodes. What lists share is said once: where two neighbours are both in a
 * list, the pair stands for them, where two neighbouring pairs are, a pair of pairs, and so on. So a list that leaves out
 * a few of many takes as many steps as the logarithm of these, if `nodes` are in an order in which lists share long runs.
 * `lists`: places in `nodes`, in increasing order.
 */
export function conjunctions(
  space: FindingSpace,
  nodes: readonly number[],
  lists: readonly (readonly number[])[],
): number[] {
  const levels: number[][] = [[...nodes]]
  const node = (level: number, place: number): number => {
    levels[level] ??= []
    const row = levels[level]
    row[place] ??= space.every([node(level - 1, 2 * place), node(level - 1, 2 * place + 1)])
    return row[place]
  }
  return lists.map((list) => {
    const parts: number[] = []
    let here = list
    for (let level = 0; here.length > 0; level++) {
      const pairs: number[] = []
      for (let i = 0; i < here.length; i++) {
        if (at(here, i) % 2 === 0 && here[i + 1] === at(here, i) + 1) pairs.push(at(here, i++) / 2)
        else parts.push(node(level, at(here, i)))
      }
      here = pairs
    }
    return space.every(parts)
  })
}
