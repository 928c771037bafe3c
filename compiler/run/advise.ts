import { actionKey, type StepAction } from "./action.ts"
import { availableActions } from "./available.ts"
import { activeNow, type Belief, isActive } from "./belief.ts"
import {
  costOf,
  type Estimate,
  estimateFrom,
  type FaultRepairs,
  givenUp,
  NONE,
  plus,
  pricedRepairs,
} from "./estimate.ts"
import type { Machine } from "./machine.ts"
import { type Outcome, outcomes, triesOf } from "./outcomes.ts"
import { testOf } from "./work.ts"

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
const MOST_WEIGHED = 40
/** What it takes to work out an outcome, in hypotheses. */
const OVERHEAD = 20
/** How many of the readings, and of all else that can be done, are looked into: those that promise most. */
const BREADTH = 4
/** What a reading shows more rarely is estimated. */
const LEAST_CHANCE = 0.05
/** No look ahead goes over more changes of the machine. */
const DEEPEST = 4

/** What an advice looks ahead with. */
interface Lookahead {
  readonly m: Machine
  /** What may be done first. */
  readonly open: readonly StepAction[]
  readonly unable: ReadonlySet<string>
  readonly repairs: readonly FaultRepairs[]
  readonly views: Map<Belief, View>
  readonly guesses: Map<Belief, Estimate>
  /** Effort that is left. */
  left: number
}

/** What is worth looking into at a belief, the most promising first. */
interface View {
  readonly readings: readonly Option[]
  readonly changes: readonly Option[]
  /** What isn't, by key. */
  readonly dull: ReadonlySet<string>
}

interface Option {
  readonly action: StepAction
  readonly key: string
  readonly cost: Estimate
  readonly outcomes: readonly Outcome[]
  /** Expected total if the job goes on with repairs alone. */
  readonly promise: number
}

/**
 * The next step: a look ahead over the few actions that promise most, deeper and deeper as long as the effort lasts, to where the job is
 * estimated. An estimate always follows the same number of changes of the machine, however many readings lie between: being
 * too low, as it may be, it would else make a reading that tells nothing seem to save what the next change takes. The same
 * belief gives the same advice.
 */
export function advise(m: Machine, belief: Belief, unable: ReadonlySet<string>): Advice {
  let best: Advice = { action: undefined, outlook: givenUp(m) }
  if (belief.hypotheses.length === 0) return best
  const repairs = pricedRepairs(m, belief, unable)
  // Whether it is sure enough to close is asked of all hypotheses.
  const open = availableActions(m, belief)
  const ahead: Lookahead = { m, open, unable, repairs, views: new Map(), guesses: new Map(), left: EFFORT }
  const weighed = likeliest(belief)
  for (let depth = 1; depth <= DEEPEST && ahead.left > 0; depth++) {
    const next = expectedFrom(ahead, weighed, depth, depth)
    // What was cut short can't be held against the rest.
    if (depth === 1 || ahead.left > 0) best = next
  }
  return best
}

/** The likeliest hypotheses alone. */
function likeliest({ job, hypotheses }: Belief): Belief {
  const few = [...hypotheses].sort((x, y) => y.weight - x.weight).slice(0, MOST_WEIGHED)
  const all = few.reduce((sum, { weight }) => sum + weight, 0)
  return { job, hypotheses: few.map((h) => ({ ...h, weight: h.weight / all })) }
}

/** The best from here on with so many changes of the machine and so many readings before the rest is estimated. */
function expectedFrom(
  ahead: Lookahead,
  belief: Belief,
  changes: number,
  readings: number,
  parent?: View,
): Advice {
  const guess = guessFrom(ahead, belief)
  if (changes === 0 || belief.job.ended || (ahead.left < 0 && parent))
    return { action: undefined, outlook: guess }
  const view = viewOf(ahead, belief, parent)
  let best: Advice = { action: undefined, outlook: givenUp(ahead.m) }
  const consider = ({ action, cost, outcomes }: Option, changes: number, readings: number, late = 0) => {
    const outlook = outcomes.reduce((sum, { chance, belief: then }) => {
      const isRare = late > 0 && chance < LEAST_CHANCE
      const { outlook } = expectedFrom(ahead, then, isRare ? 0 : changes, readings, view)
      return plus(sum, isRare ? { ...outlook, cost: outlook.cost + late } : outlook, chance)
    }, cost)
    if (outlook.cost < best.outlook.cost) best = { action, outlook }
  }
  for (const option of view.changes) consider(option, changes - 1, readings)
  // By so much the estimate is too low, as far as can be seen from here.
  const late = best.outlook.cost - guess.cost
  if (readings > 0) for (const option of view.readings) consider(option, changes, readings - 1, late)
  return best
}

function viewOf(ahead: Lookahead, belief: Belief, parent: View | undefined): View {
  const known = ahead.views.get(belief)
  if (known) return known
  const options = optionsOf(ahead, belief, parent).sort((a, b) => a.promise - b.promise)
  const isReading = ({ action, outcomes: [first] }: Option) =>
    action.do === "look" || typeof first!.found !== "string"
  const readings = options.filter(isReading).slice(0, BREADTH)
  const changes = options.filter((option) => !isReading(option)).slice(0, BREADTH)
  const dull = new Set(parent?.dull)
  for (const { key } of options) dull.add(key)
  for (const { key } of [...readings, ...changes]) dull.delete(key)
  const view = { readings, changes, dull }
  ahead.views.set(belief, view)
  return view
}

/** Expected if the job goes on with repairs alone; of a machine that has left, that it comes back if something is active. */
function guessFrom(ahead: Lookahead, belief: Belief): Estimate {
  const known = ahead.guesses.get(belief)
  if (known) return known
  const guess = estimated(ahead, belief)
  ahead.guesses.set(belief, guess)
  return guess
}

function estimated({ m, repairs }: Lookahead, belief: Belief): Estimate {
  const { job, hypotheses } = belief
  if (!job.ended) return estimateFrom(m, belief, repairs)
  const active = hypotheses.reduce((sum, h) => sum + (isActive(m, h, job) ? h.weight : 0), 0)
  return { ...NONE, cost: active * m.comeback }
}

/** What was dull before is so here too. */
function optionsOf(ahead: Lookahead, belief: Belief, parent: View | undefined): Option[] {
  const { m, unable } = ahead
  return (parent ? availableActions(m, belief) : ahead.open)
    .flatMap((action) => bothWays(m, belief, action))
    .flatMap((action) => {
      const key = actionKey(action)
      if (unable.has(key) || parent?.dull.has(key)) return []
      const all = outcomes(m, belief, action)
      ahead.left -= (belief.hypotheses.length + OVERHEAD) * (all.length + 1)
      if (all.length === 0 || isIdle(m, belief, action, all)) return []
      const cost = costOf(m, belief.job, action, triesOf(all))
      const promise = all.reduce(
        (sum, { belief: then, chance }) => sum + chance * guessFrom(ahead, then).cost,
        cost.cost,
      )
      return [{ action, key, cost, outcomes: all, promise }]
    })
}

/**
 * Whether an action can only come out in one way that leaves all as it was: what is thought of the machine, what the last
 * look says of it, and what waits. Without such actions every walk ends: each repair cures for good a fault that some
 * hypothesis still has, so there are no more of them than faults, and between two of them each test is done once, a swap
 * once with the same parts in, and each part put back once for each time it was fitted.
 */
function isIdle(m: Machine, belief: Belief, action: StepAction, all: readonly Outcome[]): boolean {
  const textOf = ({ job, hypotheses }: Belief) =>
    JSON.stringify([job.gone, job.changed, hypotheses.map((h) => [h.curedA, h.curedB, activeNow(m, h, job)])])
  return (
    all.length === 1 &&
    /test|look|replace|fix/.test(action.do) &&
    !(action.do === "test" && m.tests[action.test]!.isAwaited && !belief.job.done.has(action.test)) &&
    textOf(belief) === textOf(all[0]!.belief)
  )
}

/** A swap after which the known-good parts may stay in too; worth a thought where two faults can be present. */
function bothWays(m: Machine, { hypotheses }: Belief, action: StepAction): StepAction[] {
  const isSwap = testOf(m.tests, action)?.kind === "swaps"
  return isSwap && hypotheses.some(({ b }) => b >= 0)
    ? [action, { ...action, leaveIn: true } as StepAction]
    : [action]
}
