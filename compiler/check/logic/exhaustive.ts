import type { Model } from "../../model/model.ts"
import type { CellIndex, ReadingIndex } from "../../run/indexes.ts"
import { addTo, at } from "../../run/lookup.ts"
import type { Findings } from "./formula.ts"

/**
 * The first findings on `readings` that `accepts`, "not read" among the values of each; undefined if there are none,
 * `many` where there are more than `most` to try. Trying out the few findings that most rules range over takes less than
 * telling the solver of them. The findings handed to `accepts` are written over afterwards.
 */
export function firstAccepted(
  model: Model,
  readings: readonly ReadingIndex[],
  most: number,
  accepts: (findings: Findings) => boolean,
): Findings | undefined | "many" {
  const count = readings.reduce(
    (product, reading) => product * (at(model.readings, reading).cells.length + 1),
    1,
  )
  if (count > most) return "many"
  const findings = model.readings.map((): CellIndex | -1 => -1)
  for (let left = count; left > 0; left--) {
    if (accepts(findings)) return findings
    // Counts on, the first reading fastest.
    for (const reading of readings) {
      if (addTo(findings, reading, 1) < at(model.readings, reading).cells.length) break
      findings[reading] = -1
    }
  }
  return undefined
}
