import type { GraphReading } from "../../compiler/run/graph.ts"
import { unitsLike } from "../../compiler/service/units.ts"

/** Units in which a meter may show this reading: the reading's own first, then those that give handy numbers. */
export function unitsFor(reading: GraphReading): string[] {
  return unitsLike(reading.unit ?? "", Math.max(Math.abs(reading.from ?? 0), Math.abs(reading.to ?? 0)))
}
