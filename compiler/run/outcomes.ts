import { type Action, countingProofs, cureChance, type Effect, effectOf, jobAfter } from "./action.ts"
import { wordsOf } from "./acts.ts"
import { activeAt, type Belief, type Hypothesis, type Job } from "./belief.ts"
import type { CellIndex, FaultIndex, ReadingIndex } from "./indexes.ts"
import { knownLaws, leftBy } from "./laws.ts"
import { cellChance, holdChance, missChance, runOf } from "./likelihood.ts"
import type { Law, Machine, Redone } from "./machine.ts"
import type { Found } from "./session-types.ts"

/** What can come of an action. */
export interface Outcome {
  readonly found: Found
  readonly chance: number
  readonly belief: Belief
  /** Expected number of tries of its look, given this outcome; 0 where it doesn't look. */
  readonly tries: number
}

/** A hypothesis whose laws leave less than this of all outcomes together is out. */
const LEAST_LEFT = 1e-12
/** More combinations of cells than this are not listed. */
const MOST_LISTED = 5000

/** One way that an action can turn out, with what is known after it. */
interface Way {
  readonly found: Found
  readonly job: Job
  /** Laws that may act after it. */
  readonly laws: readonly Law[]
  readonly hypotheses: (Hypothesis & { weight: number })[]
  weight: number
  tries: number
}

/** One way for one hypothesis, cures included; `share` adds what rules and nevers make of it. */
interface Branch {
  readonly way: Way
  h: Hypothesis
  chance: number
  readonly tries: number
}

/** All that can come of an action, in the order of the cells; what has no chance is left out. */
export function outcomes(m: Machine, belief: Belief, action: Action): Outcome[] {
  const effect = effectOf(m, belief.job, action)
  const { reads } = effect
  if (reads.reduce((all, r) => all * m.readings[r]!.cells.length, 1) > MOST_LISTED) return []
  return finished(spread(m, belief, action, effect, new Map()))
}

/** The belief after an action and what was found; without hypotheses where no state of the machine fits. */
export function after(m: Machine, belief: Belief, action: Action, found: Found): Belief {
  const effect = effectOf(m, belief.job, action)
  // What no law names needs no other cell than the one found.
  const given = new Map<ReadingIndex, CellIndex>()
  if (typeof found !== "string")
    effect.reads.forEach((r, i) => {
      if (!m.lawsOf[r]![0]) given.set(r, found[i]!)
    })
  const ways = spread(m, belief, action, effect, given)
  const way = finished(ways).find((each) => String(each.found) === String(found))
  return way?.belief ?? { job: jobAfter(m, belief.job, action, effect, found), hypotheses: [] }
}

/** Spreads every hypothesis over the ways; `given`: cells of readings that are known to be found. */
function spread(
  m: Machine,
  belief: Belief,
  action: Action,
  effect: Effect,
  given: ReadonlyMap<ReadingIndex, CellIndex>,
): Way[] {
  const { job } = belief
  const laws = lawsAtStake(m, effect, action)
  const ways = foundsOf(m, effect, action, given).map((found): Way => {
    const next = jobAfter(m, job, action, effect, found)
    return { found, job: next, laws: knownLaws(next, laws), hypotheses: [], weight: 0, tries: 0 }
  })
  const branchesOf = brancher(m, job, action, effect, ways, given)
  for (const h of belief.hypotheses) {
    let fits = 1
    for (const [reading, cell] of given) fits *= cellChance(m, job, h, reading, cell)
    if (fits > 0) share(m, fits, branchesOf(h))
  }
  return ways
}

/** Tries of a look that are to be expected, by all its outcomes. */
export function triesOf(all: readonly Pick<Outcome, "chance" | "tries">[]): number {
  return all.reduce((sum, { chance, tries }) => sum + chance * tries, 0)
}

/** Puts what rules and nevers leave of a hypothesis, divided by its sum, on the ways that it can take. */
function share(m: Machine, fits: number, branches: readonly Branch[]): void {
  let sum = 0
  for (const branch of branches) {
    const { way, h } = branch
    if (branch.chance > 0 && way.laws[0]) {
      const { share, acted } = leftBy(m, way.job, h, way.laws)
      branch.chance *= share
      branch.h = { ...h, acted }
    }
    sum += branch.chance
  }
  if (sum < LEAST_LEFT) return
  for (const { way, h, chance, tries } of branches) {
    const weight = (h.weight * fits * chance) / sum
    if (weight === 0) continue
    way.hypotheses.push({ ...h, weight })
    way.weight += weight
    way.tries += weight * tries
  }
}

function finished(ways: readonly Way[]): Outcome[] {
  const all = ways.reduce((sum, { weight }) => sum + weight, 0)
  return ways.flatMap(({ found, job, hypotheses, weight, tries }) => {
    for (const h of hypotheses) h.weight /= weight
    return weight > 0
      ? { found, chance: weight / all, tries: tries / weight, belief: { job, hypotheses } }
      : []
  })
}

/** Laws that this action may set in motion: after a finding those that name it, after a change any. */
function lawsAtStake(m: Machine, { reads }: Effect, action: Action): readonly Law[] {
  if (action.do === "close" || action.do === "handOver") return []
  return reads.length > 0 ? [...new Set(reads.flatMap((r) => m.lawsOf[r]!))] : m.laws
}

function foundsOf(
  m: Machine,
  { reads }: Effect,
  action: Action,
  given: ReadonlyMap<ReadingIndex, CellIndex>,
): readonly Found[] {
  if (reads.length > 0)
    return reads.reduce<CellIndex[][]>(
      (all, r) => {
        const cell = given.get(r)
        const cells = cell === undefined ? m.readings[r]!.cells.map((_, c) => c) : [cell]
        return all.flatMap((found) => cells.map((c) => [...found, c]))
      },
      [[]],
    )
  return wordsOf(action)
}

function brancher(
  m: Machine,
  job: Job,
  action: Action,
  effect: Effect,
  ways: readonly Way[],
  given: ReadonlyMap<ReadingIndex, CellIndex>,
): (h: Hypothesis) => Branch[] {
  const { reads, tries } = effect
  if (reads.length > 0) {
    const open = reads.flatMap((r, i) => (given.has(r) ? [] : [{ r, i }]))
    return (h) => {
      const chances = open.map(({ r }) =>
        m.readings[r]!.cells.map((_, cell) => cellChance(m, job, h, r, cell)),
      )
      return ways.map((way) => {
        const cells = way.found as readonly CellIndex[]
        const chance = open.reduce((so, { i }, k) => so * chances[k]![cells[i]!]!, 1)
        return { way, h, chance, tries: 0 }
      })
    }
  }
  if (action.do === "close") {
    const run = runOf(m, countingProofs(m, job))
    return (h) => {
      const holds = holdChance(m, job, h, run)
      return ways.map((way) => ({ way, h, chance: way.found === "holds" ? holds : 1 - holds, tries: 0 }))
    }
  }
  if (tries === 0)
    return (h) =>
      cured(m, job, h, effect, effect.redoes).map((each) => ({ way: ways[0]!, ...each, tries: 0 }))
  return (h) => lookBranches(m, job, h, effect, ways)
}

function lookBranches(m: Machine, job: Job, h: Hypothesis, effect: Effect, ways: readonly Way[]): Branch[] {
  const { tries: n, out, redoes, redoesAfter } = effect
  return cured(m, job, h, effect, redoes).flatMap(({ h: before, chance }) => {
    // What is cured by now was so before the look.
    const miss = missChance(m, before, activeAt(m, before, job.time + 1, out))
    const gone = miss ** n
    let made = 0
    for (let k = 0; k < n; k++) made += miss ** k
    const seenAt = gone < 1 ? (made - n * gone) / (1 - gone) : 0
    return cured(m, job, before, {}, redoesAfter).flatMap((then) =>
      ways.map((way) => {
        const isGone = way.found === "gone"
        return {
          way,
          h: then.h,
          chance: chance * then.chance * (isGone ? gone : 1 - gone),
          tries: isGone ? n : seenAt,
        }
      }),
    )
  })
}

/** What a hypothesis becomes by cures, each uncured fault having its own chance. */
export function cured(
  m: Machine,
  { time }: Job,
  h: Hypothesis,
  { curesPart, cures }: Pick<Effect, "curesPart" | "cures">,
  redoes: Redone,
): { readonly h: Hypothesis; readonly chance: number }[] {
  const chanceOf = (fault: FaultIndex | -1, curedAt: number) =>
    fault === -1 || curedAt < Number.POSITIVE_INFINITY
      ? 0
      : fault === cures || m.faults[fault]!.place === curesPart
        ? 1
        : cureChance(m, redoes, fault)
  const a = chanceOf(h.a, h.curedA)
  const b = chanceOf(h.b, h.curedB)
  if (a === 0 && b === 0) return [{ h, chance: 1 }]
  const all = [
    { h, chance: (1 - a) * (1 - b) },
    { h: { ...h, curedA: time }, chance: a * (1 - b) },
    { h: { ...h, curedB: time }, chance: (1 - a) * b },
    { h: { ...h, curedA: time, curedB: time }, chance: a * b },
  ]
  return all.filter(({ chance }) => chance > 0)
}
