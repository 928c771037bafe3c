import type { Condition, Model, Place } from "../../compiler/model/model.ts"
import type { Remedy } from "../../compiler/plan/plan.ts"

/**
 * The semantics, said once more, slowly. This file is what planner, runner and graph are measured against, so it shares
 * no code with them and holds nothing clever: a list of hypotheses, and one function for each paragraph of the page
 * that says what a ruleset means. Weights are never normalised here; chances are taken from them where they are asked for.
 */
export interface Hypothesis {
  readonly fault: number
  readonly cured: boolean
  readonly weight: number
}

export interface State {
  readonly hypotheses: readonly Hypothesis[]
  /** Reading → cell, the latest one found. */
  readonly evidence: ReadonlyMap<number, number>
  /** Part now replaced by a known-good one → the test that fitted it. */
  readonly fitted: ReadonlyMap<number, number>
  readonly used: ReadonlySet<number>
}

/** A test to do, or (`putBack`) the part that this test fitted to put back. */
export interface Action {
  readonly test: number
  readonly putBack: boolean
}

export type Found = readonly number[] | "gone" | "stays"

export interface Outcome {
  readonly found: Found
  readonly weight: number
  readonly chance: number
  readonly state: State
}

export interface Verdict {
  readonly remedy: Remedy
  readonly chance: number
  /** Money: (1 − chance) × (price wasted + comeback). */
  readonly loss: number
  /** Whether the ruleset's `trust` lets it be given. */
  readonly allowed: boolean
}

/** Room for rounding where a chance is held against `trust`: a chance that is 1 on paper must pass a trust of 100 %. */
const rounding = 1e-12

export function start(model: Model): State {
  return {
    hypotheses: model.faults.map((fault, index) => ({ fault: index, cured: false, weight: fault.odds })),
    evidence: new Map(),
    fitted: new Map(),
    used: new Set(),
  }
}

export function total(hypotheses: readonly Hypothesis[]): number {
  return hypotheses.reduce((sum, each) => sum + each.weight, 0)
}

/** Kleene's three values; `undefined` is unknown. */
export function known(condition: Condition, evidence: ReadonlyMap<number, number>): boolean | undefined {
  if (condition.kind === "in") {
    const cell = evidence.get(condition.reading)
    return cell === undefined ? undefined : condition.cells[cell]!
  }
  if (condition.kind === "not") {
    const inner = known(condition.item, evidence)
    return inner === undefined ? undefined : !inner
  }
  const decides = condition.kind === "or"
  const items = condition.items.map((item) => known(item, evidence))
  if (items.includes(decides)) return decides
  return items.includes(undefined) ? undefined : !decides
}

function isActive(model: Model, hypothesis: Hypothesis, fitted: ReadonlyMap<number, number>): boolean {
  return !hypothesis.cured && !fitted.has(model.faults[hypothesis.fault]!.place)
}

/** What may be done here, in the order of the tests, putting back last. */
export function actions(model: Model, state: State): Action[] {
  const found: Action[] = []
  for (const [index, test] of model.tests.entries()) {
    if (state.used.has(index)) continue
    if (test.part !== undefined && state.fitted.has(test.part)) continue
    if (!test.after.every((before) => state.used.has(before))) continue
    if (test.onlyIf && known(test.onlyIf, state.evidence) !== true) continue
    found.push({ test: index, putBack: false })
  }
  for (const test of state.fitted.values()) found.push({ test, putBack: true })
  return found
}

/** All that can come of an action, as far as it has any weight. Empty: the rules and `never`s leave it no outcome. */
export function outcomes(model: Model, state: State, action: Action): Outcome[] {
  const test = model.tests[action.test]!
  const all =
    test.kind === "reads" || test.kind === "told"
      ? readingOutcomes(model, state, action)
      : complaintOutcomes(model, state, action)
  const possible = all
    .map((each) => ({ ...each, weight: total(each.state.hypotheses) }))
    .filter((each) => each.weight > 0)
  const sum = possible.reduce((so, each) => so + each.weight, 0)
  return possible.map((each) => ({ ...each, chance: each.weight / sum }))
}

type Bare = Pick<Outcome, "found" | "state">

function readingOutcomes(model: Model, state: State, action: Action): Bare[] {
  const { reads } = model.tests[action.test]!
  let combinations: number[][] = [[]]
  for (const reading of reads) {
    const cells = model.readings[reading]!.cells.map((_, cell) => cell)
    combinations = combinations.flatMap((done) => cells.map((cell) => [...done, cell]))
  }
  return combinations.map((cells) => {
    const evidence = new Map(state.evidence)
    for (const [i, reading] of reads.entries()) evidence.set(reading, cells[i]!)
    const weighed = state.hypotheses.map((each) => {
      const fault = model.faults[each.fault]!
      let weight = each.weight
      for (const [i, reading] of reads.entries()) {
        const { told, healthy } = model.readings[reading]!
        const own = told || isActive(model, each, state.fitted) ? fault.chances[reading] : undefined
        weight *= (own ?? healthy)[cells[i]!]!
      }
      return { ...each, weight }
    })
    const used = new Set([...state.used, action.test])
    return { found: cells, state: { ...state, evidence, used, hypotheses: masked(model, weighed, evidence) } }
  })
}

/** The rules as masks; evidence that a `never` forbids leaves nothing. */
function masked(model: Model, weighed: Hypothesis[], evidence: ReadonlyMap<number, number>): Hypothesis[] {
  const forbidden = model.nevers.some((never) => known(never.condition, evidence) === true)
  const acting = model.rules.filter((rule) => known(rule.condition, evidence) === true)
  const out = new Set(acting.flatMap((rule) => [...rule.out]))
  return weighed.map((each) => (forbidden || out.has(each.fault) ? { ...each, weight: 0 } : each))
}

function complaintOutcomes(model: Model, state: State, action: Action): Bare[] {
  const test = model.tests[action.test]!
  const fitted = new Map(state.fitted)
  if (action.putBack) fitted.delete(test.part!)
  else if (test.kind === "swaps") fitted.set(test.part!, action.test)

  const redone = state.hypotheses.flatMap((each) => {
    const redo = test.redoes.find((item) => item.setup === model.faults[each.fault]!.place)
    if (!redo || each.cured) return [each]
    return [
      { ...each, cured: true, weight: each.weight * redo.cures },
      { ...each, weight: each.weight * (1 - redo.cures) },
    ]
  })
  const look = (wanted: "gone" | "stays") =>
    merged(
      redone.map((each) => {
        const missed = (1 - model.faults[each.fault]!.recurs) ** test.tries
        const gone = isActive(model, each, fitted) ? missed : 1
        return { ...each, weight: each.weight * (wanted === "gone" ? gone : 1 - gone) }
      }),
    )
  const used = new Set([...state.used, action.test])
  // After `stays` the old part goes back; a part that was being put back is back already.
  const afterStays = test.kind === "swaps" && !action.putBack ? state.fitted : fitted
  return [
    { found: "gone", state: { ...state, used, fitted, hypotheses: look("gone") } },
    { found: "stays", state: { ...state, used, fitted: afterStays, hypotheses: look("stays") } },
  ]
}

/** One entry for each fault and flag: a fault cured now and one cured before are the same hypothesis. */
function merged(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const sums = new Map<string, Hypothesis>()
  for (const each of hypotheses) {
    const key = `${each.fault} ${each.cured}`
    sums.set(key, { ...each, weight: each.weight + (sums.get(key)?.weight ?? 0) })
  }
  return [...sums.values()]
}

/** Every remedy that some hypothesis of positive weight calls for, likeliest first. */
export function verdicts(model: Model, state: State): Verdict[] {
  const sum = total(state.hypotheses)
  const weights = new Map<string, { remedy: Remedy; weight: number }>()
  for (const each of state.hypotheses) {
    if (each.weight === 0) continue
    const remedy = remedyFor(model, each)
    const key = `${remedy.kind} ${remedy.place}`
    weights.set(key, { remedy, weight: each.weight + (weights.get(key)?.weight ?? 0) })
  }
  return [...weights.values()]
    .map(({ remedy, weight }) => {
      const chance = weight / sum
      const wasted = remedy.kind === "replace" ? model.places[remedy.place!]!.price : 0
      const loss = (1 - chance) * (wasted + model.ruleset.comeback)
      return { remedy, chance, loss, allowed: chance >= model.ruleset.trust - rounding }
    })
    .sort((a, b) => b.chance - a.chance)
}

export function remedyFor(model: Model, hypothesis: Hypothesis): Remedy {
  if (hypothesis.cured) return { kind: "done" }
  const { place } = model.faults[hypothesis.fault]!
  return { kind: model.places[place]!.kind === "part" ? "replace" : "redo", place }
}

/** Chances by fault, uncured and cured; all zero where no listed fault fits. */
export function belief(model: Model, state: State): { uncured: number[]; cured: number[] } {
  const sum = total(state.hypotheses) || 1
  const uncured = model.faults.map(() => 0)
  const cured = model.faults.map(() => 0)
  for (const each of state.hypotheses) (each.cured ? cured : uncured)[each.fault]! += each.weight / sum
  return { uncured, cured }
}

/** Money of one step; putting back costs what the test that fitted the part costs. */
export function stepCost(model: Model, action: Action): number {
  const test = model.tests[action.test]!
  const risks = test.risks.reduce((sum, risk) => sum + risk.chance * model.places[risk.part]!.price, 0)
  return (test.minutes * model.ruleset.bench) / 60 + test.costs + risks
}

/**
 * What a test redoes: what it names, the setups `of` a swapped part, the setups that this part is `behind`, and, over
 * and over, the setups that any of these are behind. What a test names with a percentage keeps it.
 */
export function redone(
  places: readonly Pick<Place, "of" | "behind" | "cures">[],
  part: number | undefined,
  named: readonly { readonly setup: number; readonly cures: number }[],
): { setup: number; cures: number; named: boolean }[] {
  const open = named.map((item) => item.setup)
  if (part !== undefined) {
    places.forEach((place, index) => {
      if (place.of === part) open.push(index)
    })
    open.push(...places[part]!.behind)
  }
  const all = new Set<number>()
  while (open.length > 0) {
    const setup = open.pop()!
    if (all.has(setup)) continue
    all.add(setup)
    open.push(...places[setup]!.behind)
  }
  return [...all]
    .sort((a, b) => a - b)
    .map((setup) => {
      const own = named.find((item) => item.setup === setup)
      return { setup, cures: own?.cures ?? places[setup]!.cures, named: own !== undefined }
    })
}
