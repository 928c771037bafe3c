import type { Context } from "../context.ts"
import { firstAccepted } from "../logic/exhaustive.ts"
import { answerable, type Findings, holds, readingsOf } from "../logic/formula.ts"
import { type SmallestSet, smallestSet } from "../logic/smallest-set.ts"
import { FindingSpace } from "../logic/space.ts"

export interface IdleRule {
  readonly rule: number
  /** Can go together with all other spare ones: of two rules that say the same, only one is spare. */
  readonly spare: boolean
  /** The fewest eliminations, by index, that do all that the rule does. Costs more than to know that there are some. */
  explain(): { readonly by: readonly number[]; readonly smallest: boolean }
}

/** An elimination that takes faults which a rule takes too. */
interface Rival {
  readonly elimination: number
  /** These faults, by place among the rule's. */
  readonly takes: readonly number[]
}

interface Rivalry {
  readonly rule: number
  readonly rivals: readonly Rival[]
}

/**
 * Rules that never rule out anything by themselves. A rule acts as soon as its condition is known true, so the question
 * ranges over partial findings, and only over such as read what the rule itself needs: any further reading could only
 * help the others.
 */
export function idleRules(context: Context): IdleRule[] {
  if (!context.possible) return []
  const { model, proofs } = context
  const found: Rivalry[] = []
  for (const [rule, { out }] of model.rules.entries()) {
    if (context.unreachable[rule]) continue
    const rivals = rivalsOf(context, rule)
    if (rivals === undefined) continue
    if (out.length === 0 || doAll(context, rule, rivals)) found.push({ rule, rivals })
  }
  const spare = spareOnes(context, found)
  return found.map(({ rule, rivals }) => ({
    rule,
    spare: spare.has(rule),
    explain() {
      const proof = proofs.prove(`why ${keyOf(context, rule, rivals)}`, () =>
        fewestRivals(context, rule, rivals),
      )
      return { by: proof.elements.map((i) => rivals[i]!.elimination), smallest: proof.smallest }
    },
  }))
}

/** Rules that never rule out anything by themselves, as a set. */
export function idleRuleSet(context: Context): ReadonlySet<number> {
  return new Set(context.once(idleRules).map((each) => each.rule))
}

/** The other eliminations that can act on what the rule reads; undefined where one of its faults has none. */
function rivalsOf(context: Context, rule: number): readonly Rival[] | undefined {
  const { eliminations, eliminationsOn } = context
  const { formula, out } = eliminations[rule]!
  const readings = readingsOf(formula)
  const able = [...new Set(readings.flatMap((reading) => eliminationsOn[reading]!))].filter(
    (i) => i !== rule && answerable(eliminations[i]!.formula, (reading) => readings.includes(reading)),
  )
  // Spares most rules that leave only a few faults a long look.
  if (able.reduce((sum, i) => sum + eliminations[i]!.out.length, 0) < out.length) return undefined
  const taken = new Set<number>()
  const rivals: Rival[] = []
  for (const elimination of able) {
    const takes: number[] = []
    for (let i = 0; i < out.length; i++) if (context.takes(elimination, out[i]!)) takes.push(i)
    for (const each of takes) taken.add(each)
    if (takes.length > 0) rivals.push({ elimination, takes })
  }
  if (taken.size < out.length) return undefined
  return rivals.sort((a, b) => a.elimination - b.elimination)
}

function keyOf(context: Context, rule: number, rivals: readonly Rival[]): string {
  const { formula, out } = context.eliminations[rule]!
  const others = rivals.map(
    ({ elimination, takes }) =>
      `${context.keys.of(context.eliminations[elimination]!.formula)}>${takes.join(",")}`,
  )
  return `idle ${context.keys.of(formula)} ${out.length} ${others.join(" ")}`
}

/** Do the rivals do all that the rule does? */
function doAll(context: Context, rule: number, rivals: readonly Rival[]): boolean {
  return context.proofs.prove(keyOf(context, rule, rivals), () => {
    return escaping(context, context.space, rule, rivals) === "none"
  })
}

/** Findings on which the rule acts while one of its faults escapes the rivals. */
function escaping(
  { model, eliminations, exhaustive }: Context,
  space: FindingSpace,
  rule: number,
  rivals: readonly Rival[],
  budget?: number,
): Findings | "none" | "unknown" {
  const { formula, out } = eliminations[rule]!
  const readings = readingsOf(formula)
  const against: number[][] = out.map(() => [])
  for (const { elimination, takes } of rivals) for (const i of takes) against[i]!.push(elimination)
  // Many faults share what speaks against them: one question for all that do.
  const lists = [...new Map(against.map((list) => [list.join(" "), list])).values()]
  const acts = (elimination: number, findings: Findings) =>
    holds(eliminations[elimination]!.formula, findings)
  const tried = firstAccepted(model, readings, exhaustive, (findings) => {
    return holds(formula, findings) && lists.some((list) => !list.some((i) => acts(i, findings)))
  })
  if (tried === undefined) return "none"
  // Others may do where these cannot occur, so then it is for the solver to say.
  if (tried !== "many" && space.occurs(tried, readings)) return tried
  const escapes = lists.map((list) => space.every(list.map((i) => space.fails(eliminations[i]!.formula))))
  const answer = space.ask([space.holds(formula), space.some(escapes)], readings, budget)
  return answer === "yes" ? space.findings(readings) : answer === "no" ? "none" : answer
}

/** The fewest rivals, by place, that do all that the rule does; all of them together do. */
function fewestRivals(context: Context, rule: number, rivals: readonly Rival[]): SmallestSet {
  const { model, eliminations, effort } = context
  const { out } = model.rules[rule]!
  if (out.length === 0) return { elements: [], smallest: true }
  const space = new FindingSpace(model)
  const until = space.solver.conflicts + effort
  return smallestSet([...rivals.keys()], (elements) => {
    const chosen = [...elements].map((i) => rivals[i]!)
    const budget = Math.max(1, until - space.solver.conflicts)
    const findings = escaping(context, space, rule, chosen, budget)
    if (typeof findings === "string") return findings === "none" ? "enough" : findings
    const acting = rivals.filter(({ elimination }) => holds(eliminations[elimination]!.formula, findings))
    const stopped = new Set(acting.filter((each) => chosen.includes(each)).flatMap(({ takes }) => takes))
    const left = out.findIndex((_, i) => !stopped.has(i))
    return acting.filter(({ takes }) => takes.includes(left)).map((each) => rivals.indexOf(each))
  })
}

/** Goes backwards, so that of rules that make each other idle the first one stays. */
function spareOnes(context: Context, found: readonly Rivalry[]): ReadonlySet<number> {
  const spare = new Set<number>()
  for (const { rule, rivals } of [...found].reverse()) {
    const left = rivals.filter(({ elimination }) => !spare.has(elimination))
    const nothing = context.model.rules[rule]!.out.length === 0
    if (nothing || doAll(context, rule, left)) spare.add(rule)
  }
  return spare
}
