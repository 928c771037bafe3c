import type { Context } from "./context.ts"
import { type Fewest, fewest } from "./logic/fewest.ts"
import { holds, NEVER, readingsOf, restricted } from "./logic/formula.ts"
import type { Answer } from "./logic/solver.ts"
import { Space } from "./logic/space.ts"

export interface IdleRule {
  readonly rule: number
  /** Can go together with all other spare ones: of two rules that say the same, only one is spare. */
  readonly spare: boolean
  /** The fewest eliminations, by index, that do all that the rule does. Costs more than to know that there are some. */
  explain(): { readonly by: readonly number[]; readonly smallest: boolean }
}

/**
 * Rules that never rule out anything by themselves. A rule acts as soon as its condition is known true, so the question
 * ranges over partial findings, and only over such as read what the rule itself needs: any further reading could only
 * help the others.
 */
export function idleRules(context: Context): IdleRule[] {
  if (!context.possible) return []
  const { model, memory } = context
  const found: { rule: number; rivals: readonly number[] }[] = []
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
      const proof = memory.proof(`why ${keyOf(context, rule, rivals)}`, () =>
        fewestRivals(context, rule, rivals),
      )
      return { by: proof.elements.map((i) => rivals[i]!), smallest: proof.smallest }
    },
  }))
}

/** The other eliminations that can act on what the rule reads; undefined where one of its faults has none. */
function rivalsOf({ model, eliminations, against }: Context, rule: number): number[] | undefined {
  const own = new Set(readingsOf(eliminations[rule]!.formula))
  const able = new Map<number, boolean>()
  const rivals = new Set<number>()
  for (const fault of model.rules[rule]!.out) {
    let any = false
    for (const i of against[fault]!) {
      if (i === rule) continue
      let acts = able.get(i)
      if (acts === undefined) {
        acts = restricted(eliminations[i]!.formula, (reading) => own.has(reading)) !== NEVER
        able.set(i, acts)
      }
      if (!acts) continue
      any = true
      rivals.add(i)
    }
    if (!any) return undefined
  }
  return [...rivals].sort((a, b) => a - b)
}

function keyOf(context: Context, rule: number, rivals: readonly number[]): string {
  const { formula } = context.eliminations[rule]!
  const out = context.model.rules[rule]!.out
  const others = rivals.map((i) => {
    const rival = context.eliminations[i]!
    const shared = new Set(rival.out)
    return `${context.content(rival.formula)}>${out.flatMap((fault, k) => (shared.has(fault) ? [k] : [])).join(",")}`
  })
  return `idle ${context.content(formula)} ${out.length} ${others.join(" ")} ${context.bound(readingsOf(formula))}`
}

/** Do the chosen eliminations do all that the rule does? */
function doAll(context: Context, rule: number, chosen: readonly number[]): boolean {
  return context.memory.proof(keyOf(context, rule, chosen), () => {
    return covered(context, context.space, rule, chosen) === "no"
  })
}

/** Can the rule act while one of its faults escapes the chosen eliminations? */
function covered(
  { model, eliminations }: Context,
  space: Space,
  rule: number,
  chosen: readonly number[],
  budget?: number,
): Answer {
  const { formula } = eliminations[rule]!
  const sets = chosen.map((i) => [i, new Set(eliminations[i]!.out)] as const)
  // Many faults share what speaks against them: one question for all that do.
  const lists = model.rules[rule]!.out.map((fault) => sets.flatMap(([i, out]) => (out.has(fault) ? [i] : [])))
  const distinct = new Map(lists.map((list) => [list.join(" "), list]))
  const escapes = [...distinct.values()].map((list) =>
    space.every(list.map((i) => space.fails(eliminations[i]!.formula))),
  )
  return space.ask([space.holds(formula), space.some(escapes)], readingsOf(formula), budget)
}

/** The fewest rivals, by place, that do all that the rule does; all of them together do. */
function fewestRivals(context: Context, rule: number, rivals: readonly number[]): Fewest {
  const { model, eliminations, effort } = context
  const { out } = model.rules[rule]!
  if (out.length === 0) return { elements: [], smallest: true }
  const space = new Space(model)
  const until = space.solver.conflicts + effort
  const readings = readingsOf(eliminations[rule]!.formula)
  return fewest([...rivals.keys()], (elements) => {
    const chosen = [...elements].map((i) => rivals[i]!)
    const answer = covered(context, space, rule, chosen, Math.max(1, until - space.solver.conflicts))
    if (answer !== "yes") return answer === "no" ? "enough" : "unknown"
    const findings = space.findings(readings)
    const acting = (i: number, fault: number) =>
      eliminations[i]!.out.includes(fault) && holds(eliminations[i]!.formula, findings)
    const left = out.find((fault) => !chosen.some((i) => acting(i, fault)))!
    return [...rivals.keys()].filter((i) => acting(rivals[i]!, left))
  })
}

/** Goes backwards, so that of rules that make each other idle the first one stays. */
function spareOnes(
  context: Context,
  found: readonly { rule: number; rivals: readonly number[] }[],
): ReadonlySet<number> {
  const spare = new Set<number>()
  for (const { rule, rivals } of [...found].reverse()) {
    const left = rivals.filter((i) => !spare.has(i))
    const nothing = context.model.rules[rule]!.out.length === 0
    if (nothing || doAll(context, rule, left)) spare.add(rule)
  }
  return spare
}
