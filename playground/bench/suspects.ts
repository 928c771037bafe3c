import type { Session, Suspect } from "../../compiler/run/index.ts"
import { notListed } from "../../compiler/wording/compiled/common.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import type { Words } from "../../compiler/wording/words.ts"

export const suspectLabel = ({ info }: Suspect, words: Words) =>
  info?.label ?? capitalized(words.say(notListed))

/** All that was suspected in a job, and what of it still is. */
export function suspectsOf({ candidates }: Session): { all: readonly Suspect[]; left: readonly Suspect[] } {
  // Something not listed is no suspect where the ruleset rules it out from the start.
  const all = candidates.filter(({ present, out }) => present > 0 || out)
  return { all, left: all.filter(({ present }) => present > 0) }
}
