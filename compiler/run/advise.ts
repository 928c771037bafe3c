import { type Action, actions, type Belief, type Budget, type Machine, outcomes } from "./belief.ts"
import type { Remedy } from "./graph.ts"

/** What to do next, decided from the model alone. */
export type Choice =
  | ({ readonly do: "test" } & Action)
  | { readonly do: "verdict"; readonly remedy: Remedy }
  | { readonly do: "handover" }

/** Elementary steps spent on one piece of advice: some tens of milliseconds. */
const effort = 3e6
/** Hypotheses beyond these are too unlikely to plan for. */
const widest = 80
/** Outcomes, and branches of the look ahead, below these fractions are valued by the estimate alone. */
const least = { outcome: 1e-4, branch: 0.004 }
/** How many of the best tests are looked into, by depth. */
const breadth = [8, 2]
/** Room for rounding where a chance is held against `trust`. */
const rounding = 1e-9

/** The weight that calls for each remedy, by place; -1 stands for "done". */
function byRemedy(m: Machine, b: Belief): Map<number, number> {
  const weights = new Map<number, number>()
  const add = (key: number, weight: number) => {
    if (weight > 0) weights.set(key, (weights.get(key) ?? 0) + weight)
  }
  b.faults.forEach((fault, i) => {
    add(m.graph.faults[fault]!.place, b.uncured[i]!)
    add(-1, b.cured[i]!)
  })
  return weights
}

interface Stop {
  readonly choice: Choice
  /** Expected loss of stopping here, times the weight of being here. */
  readonly loss: number
  /** Shannon's entropy of the remedies in bits, times the weight of being here. */
  readonly doubt: number
}

/** The best way to stop here: the verdict that loses least among those which trust allows, else handing over. */
function stop(m: Machine, b: Belief): Stop {
  const { places, comeback, handover, trust } = m.graph
  let choice: Choice = { do: "handover" }
  let loss = handover * b.sum
  let doubt = 0
  for (const [place, weight] of byRemedy(m, b)) {
    const part = places[place]?.kind === "part"
    const wrong = (b.sum - weight) * ((part ? (places[place]!.price ?? 0) : 0) + comeback)
    doubt -= weight * Math.log2(weight / b.sum)
    if (weight >= (trust - rounding) * b.sum && wrong <= loss) {
      loss = wrong
      choice = {
        do: "verdict",
        remedy: place < 0 ? { kind: "done" } : { kind: part ? "replace" : "redo", place },
      }
    }
  }
  return { choice, loss, doubt }
}

interface Option {
  readonly action: Action
  /** Cost of the action, times the weight of being here. */
  readonly cost: number
  readonly children: readonly Belief[]
  /** Money for each bit of doubt that it takes away. */
  readonly rate: number
}

/** Actions that tell something, the cheapest for each bit first. */
function options(
  m: Machine,
  b: Belief,
  doubt: number,
  unable: ReadonlySet<number>,
  budget: Budget,
): Option[] {
  const all: Option[] = []
  for (const action of actions(m, b, unable)) {
    if (budget.left <= 0) break
    const children = outcomes(m, b, action, budget, least.outcome).map((each) => each.belief)
    const gain = doubt - children.reduce((sum, child) => sum + stop(m, child).doubt, 0)
    if (children.length < 2 || gain <= 1e-9 * b.sum) continue
    const cost = m.graph.tests[action.test]!.cost * b.sum
    all.push({ action, cost, children, rate: cost / gain })
  }
  return all.sort((a, b) => a.rate - b.rate)
}

/**
 * The next step: rollout (Tesauro and Galperin 1996; for test sequencing, Tu and Pattipati 2003) of the policy that
 * does what is cheapest for each bit of doubt about the remedy, and stops where stopping costs less. The same belief gives the same advice.
 */
export function advise(m: Machine, belief: Belief, unable: ReadonlySet<number>): Choice {
  const b = likeliest(belief)
  const budget = { left: effort }

  /** Expected cost from here on, and what it begins with; `rate` is the money for each bit paid so far. */
  const look = (so: Belief, depth: number, rate: number): { cost: number; choice: Choice } => {
    const { choice, loss, doubt } = stop(m, so)
    let best = { cost: loss, choice }
    if (so.sum < least.branch * b.sum || budget.left <= 0)
      return { cost: Math.min(loss, doubt * rate), choice }
    for (const { action, cost, children, rate } of options(m, so, doubt, unable, budget).slice(
      0,
      breadth[depth] ?? 1,
    )) {
      let sum = cost
      for (const child of children) if (sum < best.cost) sum += look(child, depth + 1, rate).cost
      if (sum < best.cost) best = { cost: sum, choice: { do: "test", ...action } }
    }
    return best
  }
  return look(b, 0, 0).choice
}

/** The belief without its least likely hypotheses, where there are too many to plan with. */
function likeliest(b: Belief): Belief {
  if (b.faults.length <= widest) return b
  const weight = (i: number) => b.uncured[i]! + b.cured[i]!
  const kept = b.faults
    .map((_, i) => i)
    .sort((i, j) => weight(j) - weight(i))
    .slice(0, widest)
  const of = (list: readonly number[]) => kept.map((i) => list[i]!)
  return {
    ...b,
    faults: of(b.faults),
    uncured: of(b.uncured),
    cured: of(b.cured),
    sum: kept.reduce((sum, i) => sum + weight(i), 0),
  }
}
