import type { RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import type { EliminationIndex } from "../eliminations.ts"
import { type Findings, holds } from "../logic/formula.ts"
import { smallestHittingSet } from "../logic/hitting-set.ts"
import { type FewestFindings, fewestFindings, MOST_COUNTED } from "../logic/witnesses.ts"
import { exclusionsOf } from "../machine-states.ts"
import type { MachineState } from "../state-kinds.ts"
import { HoleSearch, hasNoHoles } from "./holes.ts"
import { opposedPairs } from "./opposed-rules.ts"
import { StateChoice } from "./state-choice.ts"

export interface Contradiction {
  /** Findings that can occur and leave no state, as few as can be. */
  readonly findings: Findings
  /** The rules that do it, by index, as few as can be on so few findings. */
  readonly rules: readonly RuleIndex[]
  /** Distributions that rule out what these rules leave, by index of the elimination. */
  readonly distributions: readonly EliminationIndex[]
  readonly smallest: boolean
}

/** More witnesses than this are not looked for in one run: the first ones, once fixed, mostly take the others along. */
const WITNESSES = 3

/**
 * Findings that leave no state, though a state would be left if there were no rules. What `shows` and `normally` exclude
 * by themselves is left to `unexplained`, and pairs of opposed rules to `opposed-rules`, which says more about them.
 */
export function contradictions(context: Context): Contradiction[] {
  if (context.once(hasNoHoles)) return []
  const { space, eliminations, model } = context
  const search = new HoleSearch(context)
  const byDistribution = new HoleSearch(context, (index) => at(eliminations, index).rule === undefined)
  const rules = [...model.rules.keys()].map((rule) => at(search.acts, rule))
  const barred: number[] = []
  for (const { leaves, against } of context.once(opposedPairs))
    barred.push(space.some([leaves, against].map((rule) => space.fails(at(eliminations, rule).formula))))
  const choice = leftByDistributions(context)
  const first = [...search.acts, ...(choice?.variables ?? [])]
  const wanted = () => [...(choice?.nodes ?? []), ...barred]
  const ask = (further: readonly number[], budget?: number) =>
    search.ask([...wanted(), ...further], budget, first)
  const settles = (findings: Findings) => search.isHole(findings) && !byDistribution.isHole(findings)

  const found: Contradiction[] = []
  while (found.length < WITNESSES) {
    const witness = fewestFindings(space, ask, search.readings, settles, context.effort)
    if (witness === undefined) break
    const least = fewestRules(context, search, witness, ask, rules)
    found.push(least)
    barred.push(space.some(least.rules.map((rule) => space.fails(at(eliminations, rule).formula))))
  }
  return found
}

/** Nodes that let some state survive all distributions; undefined if what is not listed always does. */
function leftByDistributions(context: Context) {
  const { kinds, space, eliminations } = context
  if (kinds.unlisted) return undefined
  const choice = new StateChoice(context, space)
  const distributions = [...eliminations.keys()].filter((index) => at(eliminations, index).rule === undefined)
  const nodes = [choice.survives(distributions, "findings")]
  if (!kinds.pairs) nodes.push(choice.of(1))
  if (!kinds.singles) nodes.push(choice.of(2))
  return { nodes, variables: choice.variables }
}

/** Of all findings that are as few as those given, some on which the fewest rules do it. */
function fewestRules(
  context: Context,
  search: HoleSearch,
  first: FewestFindings,
  ask: (further: readonly number[], budget?: number) => "yes" | "no" | "unknown",
  rules: readonly number[],
): Contradiction {
  const { space, effort } = context
  const until = space.solver.conflicts + effort
  let { findings } = first
  let by = rulesDoing(context, search, findings)
  const told = (smallest: boolean): Contradiction => ({
    findings,
    rules: by.rules,
    distributions: distributionsDoing(context, search, findings, by.rules),
    smallest,
  })
  if (!first.smallest || !by.proved || by.rules.length > MOST_COUNTED) return told(false)
  const read = findings.filter((cell) => cell >= 0).length
  const few = space.readCounter(search.readings, read + 1)(read)
  const counter = space.counter(rules, by.rules.length)
  for (;;) {
    const budget = Math.max(1, until - space.solver.conflicts)
    const answer = ask([few, counter(by.rules.length - 1)], budget)
    if (answer !== "yes") return told(answer === "no")
    findings = space.findings(search.readings)
    by = rulesDoing(context, search, findings)
    if (!by.proved) return told(false)
  }
}

/** The fewest acting rules that rule out all states which no distribution does. */
function rulesDoing(context: Context, search: HoleSearch, findings: Findings) {
  const { model } = context
  const acting = search.acting(findings)
  const isRule = (index: EliminationIndex): index is RuleIndex => index < model.rules.length
  const ownRules = (state: MachineState): readonly RuleIndex[] | undefined => {
    const active = exclusionsOf(context, state).filter((each) => each.every((index) => acting[index]))
    if (active.some((each) => each.every((index) => !isRule(index)))) return undefined
    return active.flatMap(([index]) => (index !== undefined && isRule(index) ? [index] : []))
  }
  const states: MachineState[] = context.kinds.singles ? [...model.faults.keys()].map((fault) => [fault]) : []
  if (context.kinds.unlisted) states.push([])
  const sets = states.flatMap((state) => {
    const own = ownRules(state)
    return own === undefined ? [] : [own]
  })
  for (;;) {
    const { elements, proved } = smallestHittingSet(sets)
    const chosen = new Set(elements)
    const pairs = search.pairsLeft(
      acting.map((acts, index) => acts && (!isRule(index) || chosen.has(index))),
      1,
    )
    if (pairs.length === 0) return { rules: elements, proved }
    for (const pair of pairs) sets.push(ownRules(pair) ?? [])
  }
}

/** For labels: of each single fault that the rules leave, the first distribution that rules it out. */
function distributionsDoing(
  context: Context,
  search: HoleSearch,
  findings: Findings,
  rules: readonly RuleIndex[],
): EliminationIndex[] {
  const { model, against, kinds } = context
  const acting = search.acting(findings)
  const found = new Set<EliminationIndex>()
  if (!kinds.singles) return []
  for (const fault of model.faults.keys()) {
    if (rules.some((rule) => context.takes(rule, fault))) continue
    const own = at(against, fault).find((index) => acting[index] && index >= model.rules.length)
    if (own !== undefined) found.add(own)
  }
  return [...found].sort((a, b) => a - b)
}

/** The smallest findings that no state explains although no rule acts on them; undefined if there are none. */
export function unexplained(context: Context): FewestFindings | undefined {
  if (context.once(hasNoHoles)) return undefined
  const { eliminations, space } = context
  const search = new HoleSearch(context, (index) => at(eliminations, index).rule === undefined)
  if (!search.thinkable) return undefined
  const ask = (further: readonly number[], budget?: number) => search.ask(further, budget)
  return fewestFindings(space, ask, search.readings, (findings) => search.isHole(findings), context.effort)
}

/** The distributions that rule out the single faults on these findings, by index of the elimination. */
export function distributionsOn(context: Context, findings: Findings): EliminationIndex[] {
  const { eliminations, against } = context
  const acts = (index: EliminationIndex) =>
    at(eliminations, index).rule === undefined && holds(at(eliminations, index).formula, findings)
  return [...new Set(against.flatMap((list) => list.find(acts) ?? []))].sort((a, b) => a - b)
}
