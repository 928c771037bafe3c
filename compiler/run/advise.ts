import { type Action, actions, type Belief, type Budget, type Machine, outcomes } from "./belief.ts"
import type { Remedy } from "./graph.ts"

/** What to do next, decided from the model alone. */
export type Choice =
  | ({ readonly do: "test" } & Action)
  | { readonly do: "verdict"; readonly remedy: Remedy }
  | { readonly do: "handover" }

/** Elementary steps spent on a choice: some tens of milliseconds. */
const effort = 5e5
/** How many of the tests that are cheapest for each bit are looked into, by depth; below that, the cheapest. */
const breadth = [3, 2, 2]
/** A branch with less effort left for it is guessed. */
const leastEffort = 500
/** A guess: each bit of doubt that is left costs so many times what one cost at the dearest step so far. */
const dearer = 4
/** Room for rounding where a chance is held against `trust`. */
const rounding = 1e-9

interface Stop {
  readonly choice: Choice
  /** Expected loss of stopping here. */
  readonly loss: number
  /** Shannon's entropy of the remedies in bits. */
  readonly doubt: number
}

/** The best way to stop here: the verdict that loses least among those which trust allows, else handing over. */
function stop({ faults, places, comeback, handover, trust }: Machine, b: Belief): Stop {
  // By the place to mend; the last is for what is mended already.
  const chances = new Float64Array(places.length + 1)
  for (let i = 0; i < b.faults.length; i++) {
    chances[faults[b.faults[i]!]!.place]! += b.uncured[i]! / b.sum
    chances[places.length]! += b.cured[i]! / b.sum
  }
  let choice: Choice = { do: "handover" }
  let loss = handover
  let doubt = 0
  chances.forEach((chance, place) => {
    if (!chance) return
    const { kind, price = 0 } = places[place] ?? {}
    const wrong = (1 - chance) * ((kind === "part" ? price : 0) + comeback)
    doubt -= chance * Math.log2(chance)
    if (chance >= trust - rounding && wrong <= loss) {
      loss = wrong
      choice = {
        do: "verdict",
        remedy: kind ? { kind: kind === "part" ? "replace" : "redo", place } : { kind: "done" },
      }
    }
  })
  return { choice, loss, doubt }
}

/**
 * The next step: a look ahead over the few best tests, and from there on rollout (Bertsekas, Tsitsiklis and Wu 1997;
 * for test sequencing Tu and Pattipati 2003) of the policy that does what is cheapest for each bit of doubt about the
 * remedy and stops where that costs less. Branches share the effort by their chances, so that no alternative is judged
 * by what was left of it. The same belief gives the same advice.
 */
export function advise(m: Machine, root: Belief, unable: ReadonlySet<number>): Choice {
  let { choice } = stop(m, root)

  /** Expected cost from here on. `left` is the effort for it, `price` what a bit cost at the dearest step on the way here. */
  const look = (b: Belief, depth: number, left: number, price: number): number => {
    const { loss, doubt } = stop(m, b)
    const guess = Math.min(loss, dearer * price * doubt)
    if (left < leastEffort) return guess
    const budget: Budget = { left }
    const options = actions(m, b, unable).flatMap((action) => {
      const children = outcomes(m, b, action, budget)
      const gain = children.reduce((sum, { belief, chance }) => sum - chance * stop(m, belief).doubt, doubt)
      const { cost } = m.tests[action.test]!
      // A fitting that tells nothing by itself still does by putting the old part back. What can have no outcome tells nothing.
      const tells = children.some(({ belief }) => gain > 1e-9 || belief.fitted.size > b.fitted.size)
      return tells && budget.left > 0 ? [{ action, children, cost, rate: cost / Math.max(gain, 1e-9) }] : []
    })
    if (depth && budget.left <= 0) return guess
    let best = loss
    const few = options.sort((a, b) => a.rate - b.rate).slice(0, breadth[depth] ?? 1)
    for (const { action, children, cost, rate } of few) {
      let sum = cost
      for (const { belief, chance } of children)
        if (sum < best)
          sum += chance * look(belief, depth + 1, (chance * budget.left) / few.length, Math.max(price, rate))
      if (sum < best) {
        best = sum
        if (!depth) choice = { do: "test", ...action }
      }
    }
    return best
  }
  look(root, 0, effort, 0)
  return choice
}
