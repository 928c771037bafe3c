import type { Model, Place, Test } from "../../../compiler/model/model.ts"
import type { Plain } from "../plain.ts"

/** A setup that is redone, and the chance that this cures a fault in it. */
export interface Redone {
  readonly setup: number
  readonly cures: number
  readonly named: boolean
}

type Placed = readonly Plain<Pick<Place, "of" | "behind" | "cures">>[]

/** What reaching a part redoes at the least: the setups `of` it and those that it is behind. */
export function reachOf(places: Placed, part: number): number[] {
  const own = places.flatMap((place, index) => (place.of === part ? [index] : []))
  return [...own, ...places[part]!.behind]
}

/** All that is redone with these setups: over and over, those that any of them is behind. */
export function redone(
  places: Placed,
  parts: readonly number[],
  named: readonly { readonly setup: number; readonly cures: number }[],
): Redone[] {
  const open = [...named.map((item) => item.setup), ...parts.flatMap((part) => reachOf(places, part))]
  const all = new Set<number>()
  while (open.length > 0) {
    const setup = open.pop()!
    if (all.has(setup)) continue
    all.add(setup)
    open.push(...places[setup]!.behind)
  }
  return [...all]
    .sort((a, b) => a - b)
    .map((setup) => {
      const own = named.find((item) => item.setup === setup)
      return { setup, cures: own?.cures ?? places[setup]!.cures, named: own !== undefined }
    })
}

/** Worked out anew from what the test names, so that the list in the model is checked and not believed. */
export function redoneByTest(model: Model, test: Test): Redone[] {
  return redone(
    model.places,
    test.parts,
    test.redoes.filter((each) => each.named),
  )
}

export function redoneByReplacing(model: Model, part: number): Redone[] {
  return redone(model.places, [part], [])
}

/** A fix redoes the fault's setup, or what reaches its part. */
export function redoneByFixing(model: Model, fault: number): Redone[] {
  const { place } = model.faults[fault]!
  if (model.places[place]!.kind === "part") return redoneByReplacing(model, place)
  return redone(model.places, [], [{ setup: place, cures: model.places[place]!.cures }])
}

/** Each setup that could cure the fault tries it by itself. */
export function cureChance(model: Model, redoes: readonly Redone[], fault: number): number {
  const { place, eased } = model.faults[fault]!
  let fails = 1
  for (const { setup, cures } of redoes) {
    if (setup === place) fails *= 1 - cures
    else for (const each of eased) if (each.setup === setup) fails *= 1 - each.chance
  }
  return 1 - fails
}
