import { type Action, actions, type Belief, type Budget, type Machine, outcomes } from "./belief.ts"
import type { Remedy } from "./graph.ts"

/** What to do next, decided from the model alone. */
export type Choice =
  | ({ readonly do: "test" } & Action)
  | { readonly do: "verdict"; readonly remedy: Remedy }
  | { readonly do: "handover" }

/** Elementary steps spent on each of the best tests, and ten times as many on finding these: some tens of milliseconds. */
const effort = 1e5
/** How many of the tests that are cheapest for each bit are looked into, by depth; below that, the cheapest. */
const breadth = [3, 2, 2]
/** Where the look ahead comes to a branch less likely than this, it stops there. */
const leastBranch = 0.005
/** Room for rounding where a chance is held against `trust`. */
const rounding = 1e-9

interface Stop {
  readonly choice: Choice
  /** Expected loss of stopping here, times the weight of being here. */
  readonly loss: number
  /** Shannon's entropy of the remedies in bits, times the weight of being here. */
  readonly doubt: number
}

/** The best way to stop here: the verdict that loses least among those which trust allows, else handing over. */
function stop({ faults, places, comeback, handover, trust }: Machine, b: Belief): Stop {
  // By the place to mend; the last is for what is mended already.
  const weights = new Float64Array(places.length + 1)
  for (let i = 0; i < b.faults.length; i++) {
    weights[faults[b.faults[i]!]!.place]! += b.uncured[i]!
    weights[places.length]! += b.cured[i]!
  }
  let choice: Choice = { do: "handover" }
  let loss = handover * b.sum
  let doubt = 0
  weights.forEach((weight, place) => {
    if (weight <= 0) return
    const { kind, price = 0 } = places[place] ?? {}
    const wrong = (b.sum - weight) * ((kind === "part" ? price : 0) + comeback)
    doubt -= weight * Math.log2(weight / b.sum)
    if (weight >= (trust - rounding) * b.sum && wrong <= loss) {
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
 * remedy and stops where that costs less. The same belief gives the same advice.
 */
export function advise(m: Machine, root: Belief, unable: ReadonlySet<number>): Choice {
  const budget: Budget = { left: 10 * effort }

  /** Expected cost from here on, times the weight of being here, and the first step. */
  const look = (b: Belief, depth: number): { cost: number; choice: Choice } => {
    const { choice, loss, doubt } = stop(m, b)
    let best = { cost: loss, choice }
    if (b.sum < leastBranch * root.sum || budget.left <= 0) return best
    const options = actions(m, b, unable).flatMap((action) => {
      const children = outcomes(m, b, action, budget)
      // What rules and nevers take away is spread over what is left: an outcome's chance is its weight among the outcomes.
      const share = b.sum / children.reduce((sum, { belief }) => sum + belief.sum, 0)
      const gain = doubt - share * children.reduce((sum, { belief }) => sum + stop(m, belief).doubt, 0)
      const cost = m.tests[action.test]!.cost * b.sum
      // A fitting that tells nothing by itself still does by putting the old part back.
      const tells = gain > 1e-9 * b.sum || children.some(({ belief }) => belief.fitted.size > b.fitted.size)
      return tells && budget.left > 0
        ? [{ action, children, share, cost, rate: cost / Math.max(gain, 1e-9) }]
        : []
    })
    options.sort((a, b) => a.rate - b.rate)
    for (const { action, children, share, cost } of options.slice(0, breadth[depth] ?? 1)) {
      let sum = cost
      if (!depth) budget.left = effort
      for (const { belief } of children) if (sum < best.cost) sum += share * look(belief, depth + 1).cost
      if (sum < best.cost) best = { cost: sum, choice: { do: "test", ...action } }
    }
    return best
  }
  return look(root, 0).choice
}
