import type { Place, Test } from "./model.ts"

/** A setup that a test names, with the percentage it gives, if any, as a fraction of 1. */
export interface NamedSetup {
  readonly setup: number
  readonly cures?: number | undefined
}

/**
 * All setups that a test redoes (semantics.md, "What tests do"): those it names; for a swap of `part` also those `of`
 * the part and those that the part is `behind`; and of each of these, those that it is `behind` in turn. Each once, the
 * named ones first, then in the order in which the work reaches them. A percentage that the test gives counts
 * over the setup's own, also where the setup would have been redone on the way.
 */
export function redone(
  places: readonly Place[],
  named: readonly NamedSetup[],
  part?: number,
): Test["redoes"] {
  const reached = new Map<number, number | undefined>(named.map(({ setup, cures }) => [setup, cures]))
  if (part !== undefined) {
    places.forEach((place, i) => {
      if (place.of === part && !reached.has(i)) reached.set(i, undefined)
    })
    for (const setup of places[part]?.behind ?? []) if (!reached.has(setup)) reached.set(setup, undefined)
  }
  // A map is walked in order of insertion, and entries added during the walk are walked too.
  for (const setup of reached.keys()) {
    for (const behind of places[setup]?.behind ?? []) if (!reached.has(behind)) reached.set(behind, undefined)
  }
  return [...reached].map(([setup, cures], i) => ({
    setup,
    cures: cures ?? places[setup]?.cures ?? 1,
    named: i < named.length,
  }))
}
