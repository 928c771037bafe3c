/**
 * Smallest hitting sets: as few elements as possible, at least one out of each set given. Branch and bound: branch on
 * the smallest set not yet hit, bound by sets that share nothing (each needs an element of its own).
 */

/** `proved`: no smaller one exists; else the search ended at its limit and this is the best that it met. */
export interface HittingSet<E extends number> {
  readonly elements: readonly E[]
  readonly proved: boolean
}

/** `sets`: none may be empty. `limit`: how many branches may be looked at. */
export function smallestHittingSet<E extends number>(
  sets: readonly (readonly E[])[],
  limit = 20_000,
): HittingSet<E> {
  let best = greedy(sets)
  let left = limit
  const chosen = new Set<E>()
  const refused = new Set<E>()
  const visit = (open: readonly (readonly E[])[]): void => {
    if (open.length === 0) {
      if (chosen.size < best.length) best = [...chosen]
      return
    }
    if (chosen.size + apart(open) >= best.length || left-- <= 0) return
    const branch = open.reduce((a, b) => (b.length < a.length ? b : a))
    const counts = (element: E): number => open.reduce((sum, set) => sum + (set.includes(element) ? 1 : 0), 0)
    const order = [...branch]
      .map((element) => [counts(element), element] as const)
      .sort((a, b) => b[0] - a[0] || a[1] - b[1])
    const tried: E[] = []
    for (const [, element] of order) {
      chosen.add(element)
      visit(
        open.filter((set) => !set.includes(element)).map((set) => set.filter((each) => !refused.has(each))),
      )
      chosen.delete(element)
      // What follows looks only at answers without this element.
      refused.add(element)
      tried.push(element)
      if (open.some((set) => set.every((each) => refused.has(each)))) break
    }
    for (const element of tried) refused.delete(element)
  }
  visit(sets)
  return { elements: [...best].sort((a, b) => a - b), proved: left > 0 }
}

/** A lower bound: how many sets can be picked, the small ones first, of which no two share an element. */
function apart<E extends number>(sets: readonly (readonly E[])[]): number {
  const used = new Set<E>()
  let count = 0
  for (const set of [...sets].sort((a, b) => a.length - b.length)) {
    if (set.some((element) => used.has(element))) continue
    for (const element of set) used.add(element)
    count++
  }
  return count
}

function greedy<E extends number>(sets: readonly (readonly E[])[]): E[] {
  const chosen: E[] = []
  let open = sets
  while (open.length > 0) {
    const counts = new Map<E, number>()
    for (const set of open) for (const element of set) counts.set(element, (counts.get(element) ?? 0) + 1)
    const [most] = [...counts].reduce((a, b) => (b[1] > a[1] || (b[1] === a[1] && b[0] < a[0]) ? b : a))
    chosen.push(most)
    open = open.filter((set) => !set.includes(most))
  }
  return chosen
}
