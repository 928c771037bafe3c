import type { PlaceIndex, Table } from "../run/indexes.ts"
import type { Place, Test } from "./model.ts"

/** A setup that a test names, with the percentage it gives, if any, as a fraction of 1. */
export interface NamedSetup {
  readonly setup: PlaceIndex
  readonly cures?: number | undefined
}

/** What decides which setups are redone on the way to a place. */
type Layout = Pick<Place, "kind" | "of" | "behind">

/**
 * `Place.reach` of each place: for a part the setups `of` it and those that it is `behind`, for a setup itself; and of
 * each of these those that it is `behind` in turn. Each once, in the order in which the work comes to them.
 */
export function reaches(places: Table<PlaceIndex, Layout>): Table<PlaceIndex, PlaceIndex[]> {
  const ofPart = new Map<PlaceIndex, PlaceIndex[]>()
  for (const [setup, { of }] of places.entries()) {
    if (of !== undefined) ofPart.set(of, [...(ofPart.get(of) ?? []), setup])
  }
  return places.map(({ kind, behind }, place) =>
    closed(places, kind === "setup" ? [place] : [...(ofPart.get(place) ?? []), ...behind]),
  )
}

/**
 * All setups that a test redoes: those that it names, what reaching its parts redoes, and those that any of these is
 * `behind`. Each once, the named ones first. A percentage that the test gives counts over the setup's own, also where
 * the setup would have been redone on the way.
 */
export function redone(
  places: Table<PlaceIndex, Place>,
  named: readonly NamedSetup[],
  parts: readonly PlaceIndex[],
): Test["redoes"] {
  const said = new Map(named.map(({ setup, cures }) => [setup, cures]))
  const all = closed(places, [...said.keys(), ...parts.flatMap((part) => places[part]?.reach ?? [])])
  return all.map((setup) => ({
    setup,
    cures: said.get(setup) ?? places[setup]?.cures ?? 1,
    named: said.has(setup),
  }))
}

/** Setups, and those that they are `behind`, transitively. */
function closed(places: Table<PlaceIndex, Layout>, setups: readonly PlaceIndex[]): PlaceIndex[] {
  const reached = new Set(setups)
  // A set is walked in order of insertion, and what is added during the walk is walked too.
  for (const setup of reached) for (const behind of places[setup]?.behind ?? []) reached.add(behind)
  return [...reached]
}
