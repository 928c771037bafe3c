import type { Means } from "../../compiler/plan/means.ts"
import type { Problem } from "../../compiler/plan/problem.ts"
import type { State } from "../../compiler/plan/state.ts"
import type { Transition } from "../../compiler/plan/transition.ts"

/** A rule of thumb: which step it takes in a state to which so many jobs come; undefined: it hands over. */
export type Baseline = (state: State, reach: number) => number | undefined

/** What happens with less chance goes on by a repair sequence, which is worked out at once. */
const LEAST = 1e-3
const LONGEST = 60

/** Expected total of a rule of thumb from a state on; where going on turns out dearer than handing over, it hands over. */
export function totalOf(
  means: Means,
  baseline: Baseline,
  state: State,
  chance = 1,
  longest = LONGEST,
): number {
  const { dynamics, sequences } = means
  const { handover } = dynamics.problem
  if (chance < LEAST || longest === 0) return Math.min(handover, sequences.figures(state).total)
  const step = baseline(state, chance)
  if (step === undefined) return handover
  const { cost, outcomes } = dynamics.after(state, step)
  if (outcomes.length === 0) return handover
  let total = cost
  for (const { chance: each, state: next } of outcomes)
    if (next !== undefined) total += each * totalOf(means, baseline, next, chance * each, longest - 1)
  return Math.min(total, handover)
}

/** Bits that are not known of which state the machine is in. */
function entropy({ ids, weights }: State): number {
  const chances = new Map<number, number>()
  for (const [k, id] of ids.entries()) chances.set(id >> 2, (chances.get(id >> 2) ?? 0) + weights[k]!)
  let bits = 0
  for (const chance of chances.values()) if (chance > 0) bits -= chance * Math.log2(chance)
  return bits
}

interface Weighed {
  readonly step: number
  readonly transition: Transition
  /** Bits that it tells on average. */
  readonly gain: number
}

function findings({ dynamics }: Means, state: State): Weighed[] {
  const before = entropy(state)
  return state.job.steps
    .filter((step) => dynamics.problem.steps[step]!.reads.length > 0)
    .map((step) => {
      const transition = dynamics.after(state, step)
      const gain = transition.outcomes.reduce(
        (sum, { chance, state: next }) => sum - chance * (next ? entropy(next) : 0),
        before,
      )
      return { step, transition, gain }
    })
}

const FREE = 1e-3
const worth = (gain: number, cost: number) => gain / (cost + FREE)

/** Reads what tells most for its cost while anything tells something, then repairs by chance for cost. */
export function gainPerCost(means: Means, lookahead: 1 | 2): Baseline {
  return (state) => {
    const all = findings(means, state).filter(({ gain }) => gain > TELLS)
    all.sort((a, b) => worth(b.gain, b.transition.cost) - worth(a.gain, a.transition.cost) || a.step - b.step)
    let best: { step: number; worth: number } | undefined
    for (const { step, transition, gain } of all.slice(0, LOOKED_BEYOND)) {
      let value = worth(gain, transition.cost)
      if (lookahead === 2) value = Math.max(value, ofTwo(means, transition, gain))
      if (best === undefined || value > best.worth) best = { step, worth: value }
    }
    const repair = means.sequences.firstOf(state)
    if (best === undefined || repair === undefined) return repair ?? best?.step
    // A repair that likely ends the job comes before more is read.
    return isLikely(means.dynamics.problem, state) ? repair : best.step
  }
}

/** So many readings, the best by themselves, are looked beyond. */
const LOOKED_BEYOND = 5

/** Bits that a reading must tell to be taken. */
const TELLS = 0.02

/** Who is so sure of one state reads no more. */
const SURE = 0.8

function isLikely(problem: Problem, state: State): boolean {
  if (state.job.isGone || state.job.fitted.length > 0) return true
  const chances = new Map<number, number>()
  for (const [k, id] of state.ids.entries()) {
    const place = problem.place[problem.states.first[id >> 2]!] ?? -1
    chances.set(place, (chances.get(place) ?? 0) + state.weights[k]!)
  }
  return Math.max(...chances.values()) >= SURE
}

/** What a reading and the best one after each of its outcomes tell for what both cost. */
function ofTwo(means: Means, { cost, outcomes }: Transition, gain: number): number {
  let [bits, money] = [gain, cost]
  for (const { chance, state } of outcomes) {
    if (state === undefined || chance < LEAST) continue
    let best: Weighed | undefined
    for (const each of findings(means, state))
      if (!best || worth(each.gain, each.transition.cost) > worth(best.gain, best.transition.cost))
        best = each
    if (best === undefined || best.gain < TELLS) continue
    bits += chance * best.gain
    money += chance * best.transition.cost
  }
  return worth(bits, money)
}

/**
 * Rollout of another rule (Bertsekas, Tsitsiklis and Wu 1997): its own step and the most promising others are each played
 * to the end with it behind them, and the cheapest is taken. Only where many jobs come, since each takes that long.
 */
export function rollout(means: Means, base: Baseline): Baseline {
  const { dynamics, greedy } = means
  return (state, reach) => {
    const own = base(state, reach)
    if (reach < ROLLED_OUT) return own
    const others = greedy.prospects(state).map(({ step }) => step)
    const tried = new Set([...(own === undefined ? [] : [own]), ...others.slice(0, LOOKED_BEYOND)])
    let best: { step: number; total: number } | undefined
    for (const step of tried) {
      const { cost, outcomes } = dynamics.after(state, step)
      if (outcomes.length === 0) continue
      let total = cost
      // As if few jobs came: what is rare then ends in a repair sequence soon.
      for (const { chance, state: next } of outcomes)
        if (next !== undefined) total += chance * totalOf(means, base, next, chance * WITHIN)
      if (best === undefined || total < best.total) best = { step, total }
    }
    return best !== undefined && best.total < dynamics.problem.handover ? best.step : undefined
  }
}

/** A state to which fewer jobs come is left to the rule itself. */
const ROLLED_OUT = 0.02

/** Where one job in twenty ends a rollout in a repair sequence, this is what the first step counts as. */
const WITHIN = 20 * LEAST

/** Repairs alone, by chance for cost (Kalagnanam and Henrion 1988; Heckerman, Breese and Rommelse 1995). */
export function chancePerCost({ sequences }: Means): Baseline {
  return (state) => sequences.firstOf(state)
}

/** One step ahead by the estimate of a repair sequence: the planner's own base policy. */
export function oneStep({ greedy }: Means): Baseline {
  return (state) => greedy.best(state)
}
