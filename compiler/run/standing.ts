import type { Belief, Machine } from "./belief.ts"
import type { Entry } from "./follow.ts"
import type { GraphPlace } from "./graph.ts"

export interface Standing {
  /** Known-good parts that are in the machine now. */
  readonly fitted: readonly GraphPlace[]
  /** Setups redone so far. */
  readonly redone: readonly GraphPlace[]
  /** Places changed since the complaint was last seen: if something is cured, it is in one of these. */
  readonly changed: readonly GraphPlace[]
  /** Where the complaint may have gone for one of several reasons. The chances and `still` add up to 1. */
  readonly doubt:
    | {
        readonly explanations: readonly (GraphPlace & { readonly chance: number })[]
        /** Chance that nothing is cured: the fault comes and goes, and did not show. */
        readonly still: number
        readonly text: string
      }
    | undefined
}

/** What is in the machine now that was not, and what may explain that the complaint has gone. */
export function standing(m: Machine, b: Belief, log: readonly Entry[]): Standing {
  const placed = (places: Iterable<number>) => [...places].map((place) => m.places[place]!)
  const redone = new Set<number>()
  const changed = new Set<number>()
  for (const { test, putBack, found } of log) {
    if (typeof found !== "string") continue
    const { part, cures } = m.tests[test!]!
    for (const setup of cures.keys()) {
      redone.add(setup)
      changed.add(setup)
    }
    if (putBack) changed.delete(part!)
    else if (part !== undefined) changed.add(part)
    if (found === "stays") changed.clear()
  }
  let still = 1
  const explanations = [...changed].flatMap((place) => {
    const weights = b.fitted.has(place) ? b.uncured : b.cured
    const chance = b.faults.reduce(
      (sum, fault, i) => sum + (m.faults[fault]!.place === place ? weights[i]! : 0),
      0,
    )
    still -= chance
    return chance > 0 ? [{ ...m.places[place]!, chance }] : []
  })
  explanations.sort((a, b) => b.chance - a.chance)
  return {
    fitted: placed(b.fitted.keys()),
    redone: placed(redone),
    changed: placed(changed),
    doubt: explanations[1] && {
      explanations,
      still: Math.max(0, still),
      text: `Gone for more than one possible reason: ${explanations.map(({ label }) => label).join(", ")}.${b.fitted.size ? " Put the old part back to tell." : ""}`,
    },
  }
}
