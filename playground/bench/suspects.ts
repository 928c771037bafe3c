import type { Session, Suspect } from "../../compiler/run/index.ts"

export const suspectLabel = ({ info }: Suspect) => info?.label ?? "Something not listed"

/** All that was suspected in a job, and what of it still is. */
export function suspectsOf({ candidates }: Session): { all: readonly Suspect[]; left: readonly Suspect[] } {
  // Something not listed is no suspect where the ruleset rules it out from the start.
  const all = candidates.filter(({ present, out }) => present > 0 || out)
  return { all, left: all.filter(({ present }) => present > 0) }
}
