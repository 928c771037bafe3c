import type { FaultIndex, RuleIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import type { Elimination, EliminationIndex } from "../eliminations.ts"
import { firstAccepted } from "../logic/exhaustive.ts"
import { answerable, type Findings, holds, readingsOf } from "../logic/formula.ts"
import { type SmallestSet, smallestSet } from "../logic/smallest-set.ts"
import { FindingSpace } from "../logic/space.ts"
import { bearsOn, rulesOutAlone } from "../machine-states.ts"
import { ruleName } from "../message-parts.ts"
import type { MachineState } from "../state-kinds.ts"
import { Coverage } from "./coverage.ts"
import { StateChoice } from "./state-choice.ts"

export interface IdleRule {
  readonly rule: RuleIndex
  /** Can go together with all other spare ones: of two rules that say the same, only one is spare. */
  readonly spare: boolean
  /** The fewest eliminations, by index, that do all that the rule does. Costs more than to know that there are some. */
  explain(): { readonly by: readonly EliminationIndex[]; readonly smallest: boolean }
}

/** An elimination that can act on what the rule reads. */
interface Rival {
  readonly elimination: EliminationIndex
  /** Which of the rule's targets it rules out too, by place among them. */
  readonly takes: readonly number[]
}

/** A rule beside those that may do its work. */
interface Rivalry {
  readonly rule: RuleIndex
  /** What the rule acts on alone in a machine: single faults, and something not listed as the empty state. */
  readonly targets: readonly MachineState[]
  readonly rivals: readonly Rival[]
}

/** Where a rule does something that its rivals do not. */
interface Escape {
  readonly findings: Findings
  readonly state: MachineState
}

/**
 * Rules that never rule out anything by themselves. A rule acts as soon as its condition is known true, so the question
 * ranges over partial findings, and only over such as read what the rule itself needs: any further reading could only
 * help the others.
 */
export function idleRules(context: Context): IdleRule[] {
  if (!context.possible) return []
  const { model, unreachable } = context
  const coverage = new Coverage(context)
  const twins = twinRules(context)
  const isKept = () => true
  const found = [...model.rules.keys()].filter(
    (rule) => !unreachable[rule] && isIdle(context, { rule, twins, coverage, isKept }),
  )
  const spare = spareOnes(context, { twins, coverage }, found)
  return found.map((rule) => ({
    rule,
    spare: spare.has(rule),
    explain: () => explained(context, twins, rule),
  }))
}

/** By rule: those of the same content, itself included, in order; rules with a percentage are alone. */
type Twins = Table<RuleIndex, readonly RuleIndex[]>

function twinRules({ model, eliminations, keys }: Context): Twins {
  const groups = new Map<string, RuleIndex[]>()
  return model.rules.map(({ verb, of, chance }, rule) => {
    if (chance < 1) return [rule]
    const key = `${keys.of(at(eliminations, rule).formula)} ${verb} ${[...of].sort((a, b) => a - b).join(" ")}`
    const group = groups.get(key) ?? []
    groups.set(key, group)
    group.push(rule)
    return group
  })
}

/** The first other rule of the same content. */
function twinOf(twins: Twins, rule: RuleIndex): RuleIndex | undefined {
  return at(twins, rule).find((other) => other !== rule)
}

interface Question {
  readonly rule: RuleIndex
  readonly twins: Twins
  readonly coverage: Coverage
  /** Eliminations that may do the work of the rule. */
  readonly isKept: (elimination: EliminationIndex) => boolean
}

/** Do others do all that the rule does? Twins and counting answer that for most; the solver is asked for the rest. */
function isIdle(context: Context, { rule, twins, coverage, isKept }: Question): boolean {
  const twin = twinOf(twins, rule)
  if (twin !== undefined && isKept(twin)) return true
  const covered = coverage.covers(rule)
  if (covered !== undefined) return covered
  const rivalry = rivalryOf(context, twins, rule)
  if (rivalry === undefined) return false
  const rivals = rivalry.rivals.filter(({ elimination }) => isKept(elimination))
  const { span } = at(context.model.rules, rule)
  const subject = { code: "idle-rule", span, what: `${ruleName(at(context.model.rules, rule))} is idle` }
  return context.attempt(subject, false, () => doAll(context, { ...rivalry, rivals }))
}

function explained(context: Context, twins: Twins, rule: RuleIndex) {
  const sole = twinOf(twins, rule) ?? soleRival(context, rule)
  if (sole !== undefined) return { by: [sole], smallest: true }
  const rivalry = rivalryOf(context, twins, rule)
  if (rivalry === undefined) throw new Error("an idle rule has rivals that do its work")
  const proof = context.proofs.prove(`why ${keyOf(context, rivalry)}`, () => fewestRivals(context, rivalry))
  return { by: proof.elements.map((i) => at(rivalry.rivals, i).elimination), smallest: proof.smallest }
}

/** The first rule that by itself does all that a rule on one reading does. */
function soleRival({ model, eliminations }: Context, rule: RuleIndex): RuleIndex | undefined {
  const { formula, out } = at(eliminations, rule)
  if (formula.kind !== "in" || at(model.rules, rule).verb !== "rule out" || out.length === 0) return undefined
  const found = model.rules.findIndex(({ verb, chance }, other) => {
    const its = at(eliminations, other)
    if (other === rule || verb !== "rule out" || chance < 1) return false
    if (its.formula.kind !== "in" || its.formula.reading !== formula.reading) return false
    const { cells } = its.formula
    return (
      out.every((fault) => its.out.includes(fault)) && formula.cells.every((acts, i) => !acts || cells[i])
    )
  })
  return found === -1 ? undefined : found
}

/** Rules that never rule out anything by themselves, as a set. */
export function idleRuleSet(context: Context): ReadonlySet<RuleIndex> {
  return new Set(context.once(idleRules).map((each) => each.rule))
}

/** Of rules that say the same only the first counts. */
function isFirst(twins: Twins, { rule }: Elimination): boolean {
  return rule === undefined || at(twins, rule)[0] === rule
}

/** The other eliminations that can act on what the rule reads; undefined if one of its targets has none. */
function rivalryOf(context: Context, twins: Twins, rule: RuleIndex): Rivalry | undefined {
  const { eliminations, eliminationsOn, kinds } = context
  const { formula } = at(eliminations, rule)
  const targets = targetsOf(context, rule)
  const readings = readingsOf(formula)
  const able = [...new Set(readings.flatMap((reading) => at(eliminationsOn, reading)))].filter(
    (i) =>
      i !== rule &&
      at(eliminations, i).certain &&
      isFirst(twins, at(eliminations, i)) &&
      answerable(at(eliminations, i).formula, (reading) => readings.includes(reading)),
  )
  // Spares most rules that leave only a few faults a long look.
  if (able.reduce((sum, i) => sum + at(eliminations, i).out.length + 1, 0) < targets.length) return undefined
  const taken = new Set<number>()
  const rivals: Rival[] = []
  for (const elimination of able) {
    const takes: number[] = []
    for (let i = 0; i < targets.length; i++)
      if (rulesOutAlone(context, elimination, at(targets, i))) takes.push(i)
    for (const each of takes) taken.add(each)
    if (takes.length > 0 || kinds.pairs) rivals.push({ elimination, takes })
  }
  if (taken.size < targets.length) return undefined
  return { rule, targets, rivals: rivals.sort((a, b) => a.elimination - b.elimination) }
}

function targetsOf({ model, eliminations, kinds }: Context, rule: RuleIndex): MachineState[] {
  const targets: MachineState[] = kinds.singles ? at(eliminations, rule).out.map((fault) => [fault]) : []
  if (kinds.unlisted && at(model.rules, rule).verb === "leaves only") targets.push([])
  return targets
}

function keyOf(context: Context, { rule, targets, rivals }: Rivalry): string {
  const { eliminations, keys, kinds } = context
  const others = rivals.map(({ elimination, takes }) => {
    const whom = kinds.pairs ? `${takes.join(",")} ${reachOf(context, elimination)}` : takes.join(",")
    return `${keys.of(at(eliminations, elimination).formula)}>${whom}`
  })
  const own = kinds.pairs ? reachOf(context, rule) : ""
  return `idle ${keys.of(at(eliminations, rule).formula)} ${targets.length} ${own} ${others.join(" ")}`
}

/** A number for what an elimination does to pairs of faults. */
function reachOf({ model, eliminations, proofs }: Context, elimination: EliminationIndex): number {
  const { rule, out, formula } = at(eliminations, elimination)
  const names = (faults: readonly FaultIndex[]) =>
    faults.map((fault) => at(model.faults, fault).name).join(" ")
  if (rule !== undefined) return proofs.number(`${at(model.rules, rule).verb} ${names(out)}`)
  const speaking = [...model.faults.keys()].filter(
    (fault) => formula.kind === "in" && at(model.faults, fault).chances[formula.reading] !== undefined,
  )
  return proofs.number(`${names(out)} of ${names(speaking)}`)
}

/** Do the rivals do all that the rule does? */
function doAll(context: Context, rivalry: Rivalry): boolean {
  if (rivalry.targets.length === 0 && !context.kinds.pairs) return true
  return context.proofs.prove(keyOf(context, rivalry), () => {
    const answer = escapeFrom(context, context.space, rivalry, rivalry.rivals)
    return answer === "none"
  })
}

/** Findings on which the rule acts on a state that escapes the rivals. */
function escapeFrom(
  context: Context,
  space: FindingSpace,
  rivalry: Rivalry,
  rivals: readonly Rival[],
  budget?: number,
): Escape | "none" | "unknown" {
  const alone = escapeAlone(context, space, rivalry, rivals, budget)
  return alone === "none" && context.kinds.pairs
    ? escapeOfPairs(context, space, rivalry, rivals, budget)
    : alone
}

function escapeAlone(
  { model, eliminations, exhaustive }: Context,
  space: FindingSpace,
  { rule, targets }: Rivalry,
  rivals: readonly Rival[],
  budget?: number,
): Escape | "none" | "unknown" {
  if (targets.length === 0) return "none"
  const { formula } = at(eliminations, rule)
  const readings = readingsOf(formula)
  const against: EliminationIndex[][] = targets.map(() => [])
  for (const { elimination, takes } of rivals) for (const i of takes) at(against, i).push(elimination)
  // Many targets share what speaks against them: one question for all that do.
  const lists = [...new Map(against.map((list) => [list.join(" "), list])).values()]
  const acts = (elimination: EliminationIndex, findings: Findings) =>
    holds(at(eliminations, elimination).formula, findings)
  const escaped = (findings: Findings): Escape => {
    const target = against.findIndex((list) => !list.some((i) => acts(i, findings)))
    return { findings, state: at(targets, target) }
  }
  const tried = firstAccepted(model, readings, exhaustive, (findings) => {
    return holds(formula, findings) && lists.some((list) => !list.some((i) => acts(i, findings)))
  })
  if (tried === undefined) return "none"
  // Others may do where these cannot occur, so then it is for the solver to say.
  if (tried !== "many" && space.occurs(tried, readings)) return escaped(tried)
  const escapes = lists.map((list) => space.every(list.map((i) => space.fails(at(eliminations, i).formula))))
  const answer = space.ask([space.holds(formula), space.some(escapes)], readings, budget)
  return answer === "yes" ? escaped(space.findings(readings)) : answer === "no" ? "none" : answer
}

function escapeOfPairs(
  context: Context,
  space: FindingSpace,
  { rule }: Rivalry,
  rivals: readonly Rival[],
  budget?: number,
): Escape | "none" | "unknown" {
  const { formula } = at(context.eliminations, rule)
  const readings = readingsOf(formula)
  const choice = new StateChoice(context, space)
  const others = rivals.map(({ elimination }) => elimination)
  const nodes = [
    space.holds(formula),
    choice.of(2),
    choice.struckBy(rule),
    choice.survives(others, "findings"),
  ]
  const answer = space.ask(nodes, readings, budget, choice.variables)
  if (answer === "yes") return { findings: space.findings(readings), state: choice.found }
  return answer === "no" ? "none" : answer
}

/** The fewest rivals, by place, that do all that the rule does; all of them together do. */
function fewestRivals(context: Context, rivalry: Rivalry): SmallestSet<number> {
  const { model, eliminations, effort } = context
  const { rivals } = rivalry
  const space = new FindingSpace(model)
  const until = space.solver.conflicts + effort
  return smallestSet([...rivals.keys()], (elements) => {
    const chosen = [...elements].map((i) => at(rivals, i))
    const budget = Math.max(1, until - space.solver.conflicts)
    const escaped = escapeFrom(context, space, rivalry, chosen, budget)
    if (typeof escaped === "string") return escaped === "none" ? "enough" : escaped
    const { findings, state } = escaped
    return [...rivals.keys()].filter((i) => {
      const { elimination } = at(rivals, i)
      return (
        !elements.has(i) &&
        holds(at(eliminations, elimination).formula, findings) &&
        bearsOn(context, elimination, state)
      )
    })
  })
}

/** Goes backwards, so that of rules that make each other idle the first one stays. */
function spareOnes(
  context: Context,
  { twins, coverage }: Pick<Question, "twins" | "coverage">,
  found: readonly RuleIndex[],
): ReadonlySet<EliminationIndex> {
  const spare = new Set<EliminationIndex>()
  const isKept = (elimination: EliminationIndex) => !spare.has(elimination)
  for (const rule of [...found].reverse()) {
    if (!isIdle(context, { rule, twins, coverage, isKept })) continue
    spare.add(rule)
    coverage.drop(rule)
  }
  return spare
}
