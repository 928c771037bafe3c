import * as m from "./compiled/common.ts"
import type { Words } from "./words.ts"

/** A place as everything that is read shows it. */
export interface LabelledPlace {
  readonly name: string
  readonly label: string
}

/** The label of a place that is given by its name; the name itself where there is no such place. */
export function placeLabel(places: readonly LabelledPlace[], name: string): string {
  return places.find((place) => place.name === name)?.label ?? name
}

/** `ribbon cable and front panel`, or `nothing`. */
export function placesText(places: readonly LabelledPlace[], words: Words): string {
  return places.length === 0 ? words.say(m.nothing) : words.listed(places.map(({ label }) => label))
}
