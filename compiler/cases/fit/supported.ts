import type { Fit } from "./fit.ts"
import type { NumberChange } from "./patch.ts"
import { isFew } from "./sentences.ts"

/** Percentages of one reading with one fault add up to 100 %, so they are taken or left together. */
export const setOf = ({ kind, name }: NumberChange) => `${kind} ${name}`

/** What cross-validation doesn't speak for: all where it doesn't show that the numbers help, else those with few cases. */
export function unsupported({
  changes,
  validation,
}: Pick<Fit, "changes" | "validation">): readonly NumberChange[] {
  if (validation?.verdict !== "helps") return changes
  const few = new Set(changes.filter(isFew).map(setOf))
  return changes.filter((change) => few.has(setOf(change)))
}
