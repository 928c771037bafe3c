import { effectOf, type StepAction } from "./action.ts"
import { actionKey } from "./acts.ts"
import { availableActions } from "./available.ts"
import { activeNow, type Belief, isActive, isUnlisted } from "./belief.ts"
import {
  type Estimate,
  estimateFrom,
  type FaultRepairs,
  givenUp,
  NONE,
  plus,
  pricedRepairs,
} from "./estimate.ts"
import type {} from "./indexes.ts"
import type { Machine } from "./machine.ts"
import { type Outcome, outcomes } from "./outcomes.ts"

/** What to do next, decided from the model alone. */
export interface Advice {
  /** Undefined: hand over. */
  readonly action: StepAction | undefined
  /** Expected from here to the end. */
  readonly outlook: Estimate
}

/** Elementary steps spent on an advice: some tens of milliseconds. */
const EFFORT = 6e4
/** Hypotheses that an advice weighs; the rest is too unlikely to change it. */
const MOST_WEIGHED = 80
/** How many of the actions that promise most are looked into, by depth; below that, one. */
const BREADTH = [6, 3, 2]
/** A branch with less effort left for it is estimated. */
const LEAST_EFFORT = 2000

/** What can be done here, as far as it stays the same. */
interface Bench {
  readonly unable: ReadonlySet<string>
  readonly repairs: readonly FaultRepairs[]
}

interface Option {
  readonly action: StepAction
  readonly cost: Estimate
  readonly outcomes: readonly Outcome[]
  /** Expected total if the job goes on with repairs alone. */
  readonly promise: number
  /** Money for each bit of doubt that it takes away. */
  readonly rate: number
}

/**
 * The next step: a look ahead over the few actions that promise most, and from there on rollout (Bertsekas, Tsitsiklis
 * and Wu 1997; for test sequencing Tu and Pattipati 2003) of the action that promises most by the estimate. Branches
 * share the effort by their chances, so that no alternative is judged by what was left of it. The same belief gives the
 * same advice.
 */
export function advise(m: Machine, belief: Belief, unable: ReadonlySet<string>): Advice {
  if (belief.hypotheses.length === 0) return { action: undefined, outlook: givenUp(m) }
  let action: StepAction | undefined
  const bench = { unable, repairs: pricedRepairs(m, belief, unable) }
  const outlook = expectedFrom(m, likeliest(belief), bench, 0, EFFORT, (best) => {
    action = best
  })
  return { action, outlook }
}

/** The likeliest hypotheses alone. */
function likeliest({ job, hypotheses }: Belief): Belief {
  if (hypotheses.length <= MOST_WEIGHED) return { job, hypotheses }
  const few = hypotheses
    .slice()
    .sort((x, y) => y.weight - x.weight)
    .slice(0, MOST_WEIGHED)
  const all = few.reduce((sum, { weight }) => sum + weight, 0)
  return { job, hypotheses: few.map((h) => ({ ...h, weight: h.weight / all })) }
}

/** Expected from here on. At the root the estimate is no alternative: there is an action to be named, or handing over. */
function expectedFrom(
  m: Machine,
  belief: Belief,
  bench: Bench,
  depth: number,
  effort: number,
  choose?: (action: StepAction) => void,
): Estimate {
  if (belief.job.ended) return afterClosing(m, belief)
  const guess = estimateFrom(m, belief, bench.repairs)
  if (effort < LEAST_EFFORT) return guess
  const spent = { left: effort }
  const options = optionsOf(m, belief, bench, depth, spent)
  if (spent.left <= 0 && depth > 0) return guess
  const few = promising(options, BREADTH[depth] ?? 1)
  let best = depth === 0 ? givenUp(m) : guess
  for (const { action, cost, outcomes } of few) {
    const value = outcomes.reduce(
      (sum, { chance, belief: then }) =>
        plus(
          sum,
          expectedFrom(m, then, bench, depth + 1, (chance * Math.max(0, spent.left)) / few.length),
          chance,
        ),
      cost,
    )
    if (value.cost < best.cost) {
      best = value
      choose?.(action)
    }
  }
  return best
}

/** The machine has left: it comes back if something is active. */
function afterClosing(m: Machine, { job, hypotheses }: Belief): Estimate {
  const active = hypotheses.reduce((sum, h) => sum + (isActive(m, h, job) ? h.weight : 0), 0)
  return { ...NONE, cost: active * m.comeback }
}

function optionsOf(
  m: Machine,
  belief: Belief,
  bench: Bench,
  depth: number,
  spent: { left: number },
): Option[] {
  const doubt = doubtOf(m, belief)
  const estimates = (then: Belief) =>
    then.job.ended ? afterClosing(m, then) : estimateFrom(m, then, bench.repairs)
  return availableActions(m, belief)
    .filter((action) => bench.unable.size === 0 || !bench.unable.has(actionKey(action)))
    .flatMap((action) => (depth === 0 ? bothWays(m, belief, action) : [action]))
    .flatMap((action) => {
      if (depth > 0 && spent.left <= 0) return []
      const all = outcomes(m, belief, action)
      spent.left -= belief.hypotheses.length * (all.length + 1) * 2
      // A look that can only show one thing is never worth its tries, be they free.
      if (all.length === 0 || (all.length === 1 && action.do === "look")) return []
      const cost = costOf(m, belief, action, all)
      const gain = all.reduce((sum, { belief: then, chance }) => sum - chance * doubtOf(m, then), doubt)
      const promise = all.reduce(
        (sum, { belief: then, chance }) => sum + chance * estimates(then).cost,
        cost.cost,
      )
      return [{ action, cost, outcomes: all, promise, rate: cost.cost / Math.max(gain, 1e-9) }]
    })
}

/** A swap after which the known-good parts may stay in too; worth a thought where two faults can be present. */
function bothWays(m: Machine, { hypotheses }: Belief, action: StepAction): StepAction[] {
  const isSwap = action.do === "test" && m.tests[action.test]!.kind === "swaps"
  return isSwap && hypotheses.some(({ b }) => b >= 0) ? [action, { ...action, leaveIn: true }] : [action]
}

/** Those that promise most by the estimate and those that tell most for their money, by turns. */
function promising(options: readonly Option[], most: number): Option[] {
  const byPromise = options.slice().sort((a, b) => a.promise - b.promise)
  const byRate = options.slice().sort((a, b) => a.rate - b.rate)
  const few = new Set<Option>()
  for (let k = 0; k < options.length && few.size < most; k++) {
    few.add(byPromise[k]!)
    if (few.size < most) few.add(byRate[k]!)
  }
  return [...few]
}

/** What the action itself takes, its look included. */
export function costOf(m: Machine, { job }: Belief, action: StepAction, all: readonly Outcome[]): Estimate {
  const { cost, minutes } = effectOf(m, job, action)
  const tries = all.reduce((sum, each) => sum + each.chance * each.tries, 0)
  const look = tries * m.model.complaint.minutes
  const bought = action.do === "keep" || action.do === "replace" ? (m.places[action.part]!.price ?? 0) : 0
  return { cost: cost + (look * m.bench) / 60, parts: bought, minutes: minutes + look, handedOver: 0 }
}

/** Shannon's entropy, in bits, of what is active now: what has to be known for the right repair. */
function doubtOf(m: Machine, { job, hypotheses }: Belief): number {
  const chances = new Map<string, number>()
  for (const h of hypotheses) {
    const active = activeNow(m, h, job)
    const place = (fault: number) => m.faults[fault]!.place
    const what = isUnlisted(h)
      ? "not listed"
      : `${active & 1 ? place(h.a) : ""} ${active & 2 ? place(h.b) : ""} ${job.fitted.has(place(h.a)) ? "in" : ""}`
    chances.set(what, (chances.get(what) ?? 0) + h.weight)
  }
  let doubt = 0
  for (const chance of chances.values()) if (chance > 0) doubt -= chance * Math.log2(chance)
  return doubt
}
